// Starts the server and connects it with the editor. Needs no build step: it runs as it stands.
'use strict';

const path = require('path');
const vscode = require('vscode');
const { LanguageClient } = require('vscode-languageclient/node');
const { Beside } = require('./beside');
const { register_commands } = require('./commands');
const { endings_of, take_program } = require('./files');
const { in_turn } = require('./in_turn');
const { Pages } = require('./pages');
const { Pictures } = require('./pictures');
const { advice, find_program, kind_of_failure } = require('./program');
const { said } = require('./said');

let client;

function program(context) {
    // The setting is the machine's: no workspace can name a program.
    const setting = vscode.workspace.getConfiguration('turnwright').get('program');
    const folders = vscode.workspace.workspaceFolders || [];
    const inside = context.extensionPath && path.join(context.extensionPath, 'program');
    return find_program(setting, { opened: folders.map((folder) => folder.uri.fsPath), inside });
}

async function tell_not_started(problem, kind, command) {
    const { text, buttons } = advice(kind, command);
    const chosen = await vscode.window.showErrorMessage(
        said('The Turnwright server could not be started: {0}. {1}', problem, text),
        ...buttons.map(([title]) => title));
    const [, name, ...given] = buttons.find(([title]) => title === chosen) || [];
    if (name) vscode.commands.executeCommand(name, ...given);
}

function is_open(uri) {
    return vscode.workspace.textDocuments.some((document) => document.uri.toString() === uri.toString());
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
        initializationOptions: {
            ...Object.fromEntries(['hints', 'lenses', 'formatting'].map((part) => [part, settings.get(part)])),
            endings: endings_of(settings.get('endings')),
        },
        middleware: {
            // A text that was closed meanwhile is not asked about: the server would refuse, and the client tell of it.
            provideDiagnostics: (document, known, token, next) =>
                is_open(document.uri || document) ? next(document, known, token) : { kind: 'full', items: [] },
            window: { showDocument: (params, next) => pages.show_document(params, next) },
        },
    };
}

async function start(context, pages) {
    if (!vscode.workspace.isTrusted) return; // nothing runs for files that nobody vouches for
    const { command, problem, kind } = program(context);
    if (problem) {
        tell_not_started(problem, kind);
        return;
    }
    // Not in the opened folder: a library that lies there is none of ours.
    const run = { command, args: ['serve'], options: { cwd: path.dirname(command) } };
    client = new LanguageClient('turnwright', 'Turnwright', { run, debug: run }, client_options(pages));
    client.onNotification('window/showMessage', (message) => pages.show_message(message));
    try {
        await client.start();
    } catch (failure) {
        tell_not_started(said('"{0}" does not answer', command), kind_of_failure(failure), command);
    }
}

async function stop() {
    const old = client;
    client = undefined;
    try {
        if (old && old.needsStop()) await old.stop();
        if (old) await old.dispose();
    } catch {
        // It never started, or is gone: a new one can start all the same.
    }
}

/// The picture of a program as the server draws it now.
async function ask_for_picture(program) {
    if (!client || !client.isRunning()) return undefined;
    const uri = client.code2ProtocolConverter.asUri(program);
    return client.sendRequest('workspace/executeCommand', { command: 'turnwright.picture', arguments: [uri, 'text'] });
}

/// What the server says of the place of an editor's cursor.
async function ask_at_cursor(method, editor) {
    if (!client || !client.isRunning()) return undefined;
    const convert = client.code2ProtocolConverter;
    return client.sendRequest(method, {
        textDocument: { uri: convert.asUri(editor.document.uri) },
        position: convert.asPosition(editor.selection.active),
    });
}

async function activate(context) {
    const pages = new Pages();
    const pictures = new Pictures(ask_for_picture);
    const beside = new Beside(ask_at_cursor);
    context.subscriptions.push(pages, pictures, beside);
    // Two changes of a setting in a row: a server that is only starting cannot be stopped.
    const restart = in_turn(async () => {
        await stop();
        await start(context, pages);
        await beside.renew();
    });
    register_commands(context, { client: () => client, pictures, restart });
    context.subscriptions.push(vscode.workspace.onDidChangeConfiguration((event) => {
        if (event.affectsConfiguration('turnwright.program') || event.affectsConfiguration('turnwright.endings')) restart();
        if (event.affectsConfiguration('turnwright.endings')) vscode.workspace.textDocuments.forEach(take_program);
        if (event.affectsConfiguration('turnwright.statusBar')) beside.renew();
    }));
    context.subscriptions.push(vscode.workspace.onDidOpenTextDocument(take_program));
    vscode.workspace.textDocuments.forEach(take_program);
    context.subscriptions.push(vscode.workspace.onDidGrantWorkspaceTrust(restart));
    await restart();
}

module.exports = { activate, deactivate: stop };
