// Starts the server and connects it with the editor. Needs no build step: it runs as it stands.
'use strict';

const path = require('path');
const vscode = require('vscode');
const { LanguageClient } = require('vscode-languageclient/node');
const { register_commands } = require('./commands');
const { Pages } = require('./pages');
const { Pictures } = require('./pictures');
const { find_program } = require('./program');

let client;

function program() {
    // The setting is the machine's: no workspace can name a program.
    const setting = vscode.workspace.getConfiguration('turnwright').get('program');
    const folders = vscode.workspace.workspaceFolders || [];
    return find_program(setting, { opened: folders.map((folder) => folder.uri.fsPath) });
}

async function tell_not_started(problem) {
    const settings = 'Open the settings';
    const chosen = await vscode.window.showErrorMessage(
        `The server could not be started: ${problem}. Set the whole path of the turnwright program in ` +
        'turnwright.program.', settings);
    if (chosen) vscode.commands.executeCommand('workbench.action.openSettings', 'turnwright.program');
}

function client_options(pages) {
    const settings = vscode.workspace.getConfiguration('turnwright');
    return {
        documentSelector: [
            { scheme: 'file', language: 'turning' },
            { scheme: 'untitled', language: 'turning' },
        ],
        // What the server reads once at the start; it asks again for changed settings by itself. It also names
        // the files to be watched (programs and turnwright.toml), so that no list of them is kept here.
        initializationOptions: Object.fromEntries(
            ['hints', 'lenses', 'formatting'].map((part) => [part, settings.get(part)])),
        middleware: {
            window: { showDocument: (params, next) => pages.show_document(params, next) },
        },
    };
}

async function start(pages) {
    if (!vscode.workspace.isTrusted) return; // nothing runs for files that nobody vouches for
    const { command, problem } = program();
    if (problem) {
        tell_not_started(problem);
        return;
    }
    // Not in the opened folder: a library that lies there is none of ours.
    const run = { command, args: ['serve'], options: { cwd: path.dirname(command) } };
    client = new LanguageClient('turnwright', 'Turnwright', { run, debug: run }, client_options(pages));
    client.onNotification('window/showMessage', (message) => pages.show_message(message));
    try {
        await client.start();
    } catch {
        tell_not_started(`"${command}" does not answer`);
    }
}

async function stop() {
    const old = client;
    client = undefined;
    if (old && old.needsStop()) await old.stop();
    if (old) await old.dispose();
}

/// The picture of a program as the server draws it now.
async function ask_for_picture(program) {
    if (!client || !client.isRunning()) return undefined;
    const uri = client.code2ProtocolConverter.asUri(program);
    return client.sendRequest('workspace/executeCommand', { command: 'turnwright.picture', arguments: [uri, 'text'] });
}

async function activate(context) {
    const pages = new Pages();
    const pictures = new Pictures(ask_for_picture);
    context.subscriptions.push(pages, pictures);
    const restart = async () => {
        await stop();
        await start(pages);
    };
    register_commands(context, { client: () => client, pictures, restart });
    context.subscriptions.push(vscode.workspace.onDidChangeConfiguration((event) => {
        if (event.affectsConfiguration('turnwright.program')) restart();
    }));
    context.subscriptions.push(vscode.workspace.onDidGrantWorkspaceTrust(restart));
    await start(pages);
}

module.exports = { activate, deactivate: stop };
