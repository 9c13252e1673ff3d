// The commands of the palette. Each asks what the server's command needs and hands it the program in front.
'use strict';

const vscode = require('vscode');

/// Asks for one of several; undefined when the person leaves.
async function choose(placeHolder, choices) {
    const items = Object.entries(choices).map(([value, label]) => ({ label, value }));
    const chosen = await vscode.window.showQuickPick(items, { placeHolder });
    return chosen && chosen.value;
}

function ask_number(prompt, value) {
    return vscode.window.showInputBox({
        prompt,
        value,
        validateInput: (text) => (/^\d{1,6}$/.test(text) ? undefined : 'A whole number, please'),
    });
}

async function renumbering() {
    const what = await choose('Which blocks get new N numbers?', {
        sequences: 'The sequences: 1, 2, 3 ...',
        by_tool: 'The sequences, each with the number of its tool',
        all_blocks: 'Every block',
    });
    if (!what) return undefined;
    if (what === 'by_tool') return [what];
    const usual = what === 'sequences' ? '1' : '10';
    const start = await ask_number('The first number', usual);
    const step = start && (await ask_number('The step from number to number', usual));
    return step && [what, start, step];
}

function lines_of(editor) {
    const { start, end, isEmpty } = editor.selection;
    // A selection that ends at the begin of a line does not mean that line.
    const last = !isEmpty && end.character === 0 && end.line > start.line ? end.line - 1 : end.line;
    return [String(start.line), String(last)];
}

// Palette command -> server command, and what the server's command is given behind the document's URI. The names
// differ because the language client registers the server's names itself, for code lenses and code actions.
const commands = {
    'turnwright.showPicture': ['turnwright.picture'],
    'turnwright.showPictureBeside': ['turnwright.pictureBeside'],
    'turnwright.showSheet': ['turnwright.sheet'],
    'turnwright.showTelling': ['turnwright.tell'],
    'turnwright.compareWithSaved': ['turnwright.compare'],
    'turnwright.drawWhatChanged': ['turnwright.compareDrawn'],
    'turnwright.showRestartTable': ['turnwright.restartTable'],
    'turnwright.explainThisSequence':
        ['turnwright.explainSequence', (editor) => [String(editor.selection.active.line)]],
    'turnwright.explainRestartHere':
        ['turnwright.explainRestart', (editor) => [String(editor.selection.active.line)]],
    'turnwright.insertRestartHere':
        ['turnwright.insertRestart', (editor) => [String(editor.selection.active.line)]],
    'turnwright.repeatThisCut':
        ['turnwright.repeatCut', (editor) => [String(editor.selection.active.line)]],
    'turnwright.writeBlocksHere':
        ['turnwright.writeBlocks', (editor) => [String(editor.selection.active.line)]],
    'turnwright.showLibrary': ['turnwright.library'],
    'turnwright.learnFromPrograms': ['turnwright.learnShopFile'],
    'turnwright.mendAll': ['turnwright.fixAll'],
    'turnwright.renumberProgram': ['turnwright.renumber', renumbering],
    'turnwright.changeUnits': ['turnwright.convertUnits', async () =>
        one(await choose('The program in', { mm: 'millimetres (G21)', inch: 'inches (G20)' }))],
    'turnwright.changeSystem': ['turnwright.convertSystem', async () =>
        one(await choose('The program for G-code system', { A: 'A', B: 'B', C: 'C' }))],
    'turnwright.transferProgram': ['turnwright.transfer', async () =>
        one(await vscode.window.showInputBox({ prompt: 'The name of the other machine in the shop file' }))],
    'turnwright.changeX': ['turnwright.convertX', async () =>
        one(await choose('X read as', { diameter: 'a diameter', radius: 'a radius' }))],
    'turnwright.changeDistances': ['turnwright.convertDistance', async (editor) => {
        const to = await choose('The selected blocks with', {
            absolute: 'absolute positions',
            incremental: 'incremental distances',
        });
        return to && [to, ...lines_of(editor)];
    }],
};

function one(value) {
    return value && [value];
}

async function run(client, pictures, [name, ask]) {
    const editor = vscode.window.activeTextEditor;
    if (!editor || editor.document.languageId !== 'turning') {
        vscode.window.showInformationMessage('Open a part program first.');
        return;
    }
    if (!client || !client.isRunning()) {
        vscode.window.showWarningMessage('The server is not running. "Turnwright: Start the server again" may help.');
        return;
    }
    const uri = client.code2ProtocolConverter.asUri(editor.document.uri);
    const more = ask ? await ask(editor) : [];
    if (!more) return;
    const in_tab = vscode.workspace.getConfiguration('turnwright').get('pages') !== 'browser';
    try {
        if (name === 'turnwright.picture' && in_tab) return await pictures.show(editor);
        await client.sendRequest('workspace/executeCommand', { command: name, arguments: [uri, ...more] });
    } catch (problem) {
        vscode.window.showErrorMessage(problem.message);
    }
}

function register_commands(context, { client, pictures, restart }) {
    const register = (name, action) =>
        context.subscriptions.push(vscode.commands.registerCommand(name, action));
    for (const [name, command] of Object.entries(commands)) register(name, () => run(client(), pictures, command));
    register('turnwright.restartServer', restart);
    register('turnwright.showLog', () => client() && client().outputChannel.show());
}

module.exports = { register_commands };
