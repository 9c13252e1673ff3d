// Files: a new program, comparing with another file, endings that this shop has, the help.
'use strict';

const path = require('path');
const vscode = require('vscode');
const { said } = require('./said');

/// ["txt", ".MPF", 3] -> [".txt", ".mpf"]
function endings_of(setting) {
    return (Array.isArray(setting) ? setting : [])
        .filter((ending) => typeof ending === 'string' && /^\.?[A-Za-z0-9_-]+$/.test(ending))
        .map((ending) => (ending.startsWith('.') ? ending : `.${ending}`).toLowerCase());
}

/// Whether a file of this name is a program by the shop's endings.
function is_program(name, setting) {
    return endings_of(setting).includes(path.posix.extname(name).toLowerCase());
}

/// Files with the endings of the setting are programs; plain text alone is taken, so that no other language loses one.
function take_program(document) {
    const setting = vscode.workspace.getConfiguration('turnwright').get('endings');
    if (document.languageId !== 'plaintext' || !is_program(document.uri.path, setting)) return undefined;
    return vscode.languages.setTextDocumentLanguage(document, 'turning');
}

/// "" or a number with up to eight digits
function wrong_number(text) {
    return /^\d{0,8}$/.test(text.trim()) ? undefined : said('Up to eight digits, or nothing');
}

/// A file of a name that no other has: in the first folder, with the number of the program in it.
async function new_program() {
    const number = await vscode.window.showInputBox({
        prompt: said('The number of the new program (nothing when it has none)'), validateInput: wrong_number,
    });
    if (number === undefined) return;
    const folder = vscode.workspace.workspaceFolders && vscode.workspace.workspaceFolders[0];
    let document;
    if (number.trim() && folder) {
        const place = vscode.Uri.joinPath(folder.uri, `O${number.trim()}.nc`);
        const is_there = await vscode.workspace.fs.stat(place).then(() => true, () => false);
        if (is_there) {
            vscode.window.showWarningMessage(
                said('{0} is there already; it is opened, and nothing is changed.', path.posix.basename(place.path)));
            return void (await vscode.window.showTextDocument(place));
        }
        // A file from the beginning: the folder's shop file holds for it, and its name gives the number.
        await vscode.workspace.fs.writeFile(place, new Uint8Array());
        document = await vscode.workspace.openTextDocument(place);
        if (document.languageId !== 'turning') document = await vscode.languages.setTextDocumentLanguage(document, 'turning');
    } else {
        document = await vscode.workspace.openTextDocument({ language: 'turning' });
    }
    await vscode.window.showTextDocument(document);
    // The shop's own head is the first that the server offers in an empty program.
    await vscode.commands.executeCommand('editor.action.triggerSuggest');
}

/// Asks for another program; what it says is read here, since it may lie anywhere. Returns [text, name].
async function other_program(given) {
    let place = given;
    if (!place) {
        const chosen = await vscode.window.showOpenDialog({
            canSelectMany: false, openLabel: said('Compare'), title: said('The program before the change'),
        });
        place = chosen && chosen[0];
    }
    if (!place) return undefined;
    const bytes = await vscode.workspace.fs.readFile(place);
    return [Buffer.from(bytes).toString('utf8'), path.posix.basename(place.path)];
}

/// The pages that came with this extension, in the browser.
function show_help(extension_uri) {
    return vscode.env.openExternal(vscode.Uri.joinPath(extension_uri, 'docs', 'README.html'));
}

module.exports = { endings_of, is_program, take_program, new_program, other_program, show_help, wrong_number };
