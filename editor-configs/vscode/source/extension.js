// Starts the server and connects it with the editor. Needs no build step: it runs as it stands.
'use strict';

const vscode = require('vscode');
const { LanguageClient } = require('vscode-languageclient/node');
const { register_commands } = require('./commands');
const { Pages } = require('./pages');

let client;

function program() {
    return vscode.workspace.getConfiguration('turnwright').get('program') || 'turnwright';
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
    const command = program();
    const run = { command, args: ['serve'] };
    client = new LanguageClient('turnwright', 'Turnwright', { run, debug: run }, client_options(pages));
    client.onNotification('window/showMessage', (message) => pages.show_message(message));
    try {
        await client.start();
    } catch {
        const settings = 'Open the settings';
        const chosen = await vscode.window.showErrorMessage(
            `The program "${command}" could not be started. Set its path in turnwright.program.`, settings);
        if (chosen) vscode.commands.executeCommand('workbench.action.openSettings', 'turnwright.program');
    }
}

async function stop() {
    const old = client;
    client = undefined;
    if (old && old.needsStop()) await old.stop();
    if (old) await old.dispose();
}

async function activate(context) {
    const pages = new Pages();
    context.subscriptions.push(pages);
    const restart = async () => {
        await stop();
        await start(pages);
    };
    register_commands(context, { client: () => client, restart });
    context.subscriptions.push(vscode.workspace.onDidChangeConfiguration((event) => {
        if (event.affectsConfiguration('turnwright.program')) restart();
    }));
    await start(pages);
}

module.exports = { activate, deactivate: stop };
