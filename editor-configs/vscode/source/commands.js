// The commands of the palette. Each asks what the server's command needs and hands it the program in front.
'use strict';

const vscode = require('vscode');
const { new_program, other_program, show_help } = require('./files');
const { go_to } = require('./pages');
const { said } = require('./said');

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
        validateInput: (text) => (/^\d{1,6}$/.test(text) ? undefined : said('A whole number, please')),
    });
}

async function ask_size(prompt) {
    return vscode.window.showInputBox({
        prompt,
        validateInput: (text) => (/^(\d+\.?\d*|\.\d+)$/.test(text) && Number(text) > 0 ? undefined : said('A number above 0')),
    });
}

async function renumbering() {
    const what = await choose(said('Which blocks get new N numbers?'), {
        sequences: said('The sequences: 1, 2, 3 ...'),
        by_tool: said('The sequences, each with the number of its tool'),
        all_blocks: said('Every block'),
    });
    if (!what) return undefined;
    if (what === 'by_tool') return [what];
    const usual = what === 'sequences' ? '1' : '10';
    const start = await ask_number(said('The first number'), usual);
    const step = start && (await ask_number(said('The step from number to number'), usual));
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
    'turnwright.compareWithFile': ['turnwright.compareDrawn', (editor, place) => other_program(place)],
    'turnwright.showRestartTable': ['turnwright.restartTable'],
    'turnwright.explainThisSequence':
        ['turnwright.explainSequence', (editor) => [String(editor.selection.active.line)]],
    'turnwright.explainRestartHere':
        ['turnwright.explainRestart', (editor) => [String(editor.selection.active.line)]],
    'turnwright.insertRestartHere':
        ['turnwright.insertRestart', (editor) => [String(editor.selection.active.line)]],
    'turnwright.repeatThisCut':
        ['turnwright.repeatCut', (editor) => [String(editor.selection.active.line)]],
    'turnwright.showRestartProgramHere':
        ['turnwright.restartProgram', (editor) => [String(editor.selection.active.line)]],
    'turnwright.breakCornerHere': ['turnwright.breakCorner', async (editor) => {
        const how = await choose(said('The corner at the end of this block'),
            { chamfer: said('Chamfer'), round: said('Round') });
        const size = how && (await ask_size(how === 'round' ? said('Radius') : said('Length on each side')));
        return size && [how, String(editor.selection.active.line), size];
    }],
    'turnwright.noteChanges': ['turnwright.changeNote'],
    'turnwright.reckonLot': ['turnwright.lot', async () => one(await ask_size(said('Parts of the lot')))],
    'turnwright.correctOffset': ['turnwright.correct', async () => {
        const wanted = await ask_size(said('The diameter that is wanted'));
        const measured = wanted && (await ask_size(said('The diameter that was measured')));
        return measured && [wanted, measured];
    }],
    'turnwright.showOffsets': ['turnwright.offsets'],
    'turnwright.writeBlocksHere':
        ['turnwright.writeBlocks', (editor) => [String(editor.selection.active.line)]],
    'turnwright.showLibrary': ['turnwright.library'],
    'turnwright.learnFromPrograms': ['turnwright.learnShopFile'],
    'turnwright.writeJobFileBeside': ['turnwright.writeJobFile'],
    'turnwright.mendAll': ['turnwright.fixAll'],
    'turnwright.renumberProgram': ['turnwright.renumber', renumbering],
    'turnwright.changeUnits': ['turnwright.convertUnits', async () =>
        one(await choose(said('The program in'), { mm: said('millimetres (G21)'), inch: said('inches (G20)') }))],
    'turnwright.changeSystem': ['turnwright.convertSystem', async () =>
        one(await choose(said('The program for G-code system'), { A: 'A', B: 'B', C: 'C' }))],
    'turnwright.transferProgram': ['turnwright.transfer', async () =>
        one(await vscode.window.showInputBox({ prompt: said('The name of the other machine in the shop file') }))],
    'turnwright.changeX': ['turnwright.convertX', async () =>
        one(await choose(said('X read as'), { diameter: said('a diameter'), radius: said('a radius') }))],
    'turnwright.changeDistances': ['turnwright.convertDistance', async (editor) => {
        const to = await choose(said('The selected blocks with'), {
            absolute: said('absolute positions'),
            incremental: said('incremental distances'),
        });
        return to && [to, ...lines_of(editor)];
    }],
};

function one(value) {
    return value && [value];
}

async function run(client, pictures, [name, ask], given) {
    const editor = vscode.window.activeTextEditor;
    if (!editor || editor.document.languageId !== 'turning') {
        vscode.window.showInformationMessage(said('Open a part program first.'));
        return;
    }
    if (!client || !client.isRunning()) {
        vscode.window.showWarningMessage(said('The server is not running. "Turnwright: Start the Server Again" may help.'));
        return;
    }
    const uri = client.code2ProtocolConverter.asUri(editor.document.uri);
    // A menu of the file list hands over the file that it was opened on.
    const more = ask ? await ask(editor, given) : [];
    if (!more) return;
    const in_tab = vscode.workspace.getConfiguration('turnwright').get('pages') !== 'browser';
    try {
        if (name === 'turnwright.picture' && in_tab) return await pictures.show(editor);
        await client.sendRequest('workspace/executeCommand', { command: name, arguments: [uri, ...more] });
    } catch (problem) {
        vscode.window.showErrorMessage(problem.message);
    }
}

/// The faulty example that came along, as a text of its own: whatever is done to it, the next one finds it as it was.
async function open_example(extension_uri) {
    const place = vscode.Uri.joinPath(extension_uri, 'docs', 'examples', 'pump-shaft-faulty.nc');
    const content = Buffer.from(await vscode.workspace.fs.readFile(place)).toString('utf8');
    await vscode.window.showTextDocument(await vscode.workspace.openTextDocument({ language: 'turning', content }));
}

function register_commands(context, { client, pictures, restart }) {
    const register = (name, action) =>
        context.subscriptions.push(vscode.commands.registerCommand(name, action));
    for (const [name, command] of Object.entries(commands)) register(name, (place) => run(client(), pictures, command, place));
    register('turnwright.restartServer', restart);
    register('turnwright.showLog', () => client() && client().outputChannel.show());
    register('turnwright.newProgram', new_program);
    register('turnwright.showHelp', () => show_help(context.extensionUri));
    register('turnwright.goToSequence', (program, line) => go_to(program, line + 1, false));
    register('turnwright.openExample', () => open_example(context.extensionUri));
    register('turnwright.showFirstSteps', () =>
        vscode.commands.executeCommand('workbench.action.openWalkthrough', `${context.extension.id}#firstSteps`, false));
}

module.exports = { register_commands };
