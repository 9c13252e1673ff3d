// Which program the VS Code extension starts, and when. Run by `node --test`; needs no editor: `vscode` and the
// language client are stood in for.
'use strict';

const assert = require('node:assert');
const fs = require('node:fs');
const Module = require('node:module');
const os = require('node:os');
const path = require('node:path');
const test = require('node:test');

const source = path.join(__dirname, '../../editor-configs/vscode/source');
const { l10n_of } = require('./vscode_l10n');

/// A script of the extension, with these parts of the editor.
function take(file, vscode) {
    const load = Module._load;
    Module._load = (name, ...rest) => (name === 'vscode' ? vscode : load(name, ...rest));
    for (const one of [file, 'said.js']) delete require.cache[path.join(source, one)];
    try {
        return require(path.join(source, file));
    } finally {
        Module._load = load;
    }
}
const speaking = (editor, setting = '') => ({
    l10n: l10n_of(editor),
    env: { language: editor },
    workspace: { getConfiguration: () => ({ get: (key) => (key === 'language' ? setting : undefined) }) },
});
const { advice, find_program, kind_of_failure } = take('program.js', speaking('en'));

const top = fs.mkdtempSync(path.join(os.tmpdir(), 'turnwright-extension-'));
test.after(() => fs.rmSync(top, { recursive: true }));
function put(name, mode = 0o755) {
    const file = path.join(top, name);
    fs.mkdirSync(path.dirname(file), { recursive: true });
    fs.writeFileSync(file, '');
    fs.chmodSync(file, mode);
    return file;
}
const installed = put('bin/turnwright');
const planted = put('opened/turnwright');
put('opened/sub/turnwright');
const opened = [path.dirname(planted)];

test('a name is found on PATH, as a whole path', () => {
    assert.deepStrictEqual(find_program('turnwright', { search: `/nowhere:${top}/bin`, opened }), { command: installed });
    assert.deepStrictEqual(find_program('', { search: `${top}/bin` }), { command: installed });
    assert.match(find_program('turnwright', { search: '/nowhere' }).problem, /no folder of PATH/);
});

test('nothing in the opened folder is started, however PATH leads there', () => {
    fs.symlinkSync(opened[0], path.join(top, 'link'));
    for (const folder of ['opened', 'opened/sub', 'link', 'bin/../opened'])
        assert.deepStrictEqual(find_program('turnwright', { search: `${top}/${folder}:${top}/bin`, opened }), { command: installed });
    const here = process.cwd();
    process.chdir(opened[0]);
    try {
        for (const search of ['', '.', ':', 'sub', `.:${top}/bin`])
            assert.notStrictEqual(find_program('turnwright', { search }).command, planted, search);
        for (const name of ['./turnwright', 'sub/turnwright', '..\\turnwright'])
            assert.match(find_program(name, { search: opened[0] }).problem, /not a whole path/);
    } finally {
        process.chdir(here);
    }
});

test('what cannot be started is said', () => {
    assert.deepStrictEqual(find_program(installed), { command: installed });
    assert.match(find_program(put('bin/text', 0o644)).problem, /no program/);
    assert.match(find_program(path.join(top, 'bin')).problem, /no program/);
});

test('on Windows only a program ends in .exe', () => {
    put('windows/turnwright');
    assert.ok(find_program('turnwright', { search: `${top}/windows`, platform: 'win32' }).problem);
    const program = put('windows/turnwright.exe');
    assert.deepStrictEqual(find_program('turnwright', { search: `${top}/windows`, platform: 'win32' }), { command: program });
});

test('the program that came along is taken before PATH, but not before the setting', () => {
    const inside = path.dirname(put('extension/program/turnwright'));
    const search = path.dirname(installed);
    assert.deepStrictEqual(find_program('', { search, inside }), { command: path.join(inside, 'turnwright') });
    assert.deepStrictEqual(find_program('turnwright', { search, inside }), { command: installed });
    assert.deepStrictEqual(find_program('', { search, inside: path.join(top, 'windows') , platform: 'linux' }).command, path.join(top, 'windows/turnwright'));
    assert.deepStrictEqual(find_program('', { search, inside: path.join(top, 'nowhere') }), { command: installed });
    assert.deepStrictEqual(find_program('', { search: '', inside: path.join(top, 'windows'), platform: 'win32' }),
        { command: path.join(top, 'windows/turnwright.exe') });
});

test('whatever keeps the server from starting, there is something to be done about it', () => {
    const { contributes } = JSON.parse(fs.readFileSync(path.join(source, '../package.json')));
    const commands = new Set(contributes.commands.map(({ command }) => command));
    for (const kind of ['setting', 'missing', 'blocked', 'other', 'ended']) {
        const { text, buttons } = advice(kind, '/shop/turnwright');
        assert.ok(text.length > 30 && buttons.length > 0, kind);
        for (const [title, command] of buttons)
            assert.ok(title && (commands.has(command) || command.startsWith('workbench.action.')), command);
    }
    // What Node.js says of a file that may not be run, and of one of another system
    assert.strictEqual(kind_of_failure(new Error('spawn /shop/turnwright EACCES')), 'blocked');
    assert.strictEqual(kind_of_failure(new Error('spawn UNKNOWN')), 'other');
    assert.strictEqual(kind_of_failure(new Error('connection got disposed')), 'ended');
    assert.strictEqual(find_program('sub/turnwright').kind, 'setting');
    assert.strictEqual(find_program('', { search: '' }).kind, 'missing');
});

test('texts are in the language of the setting, else in that of the editor', () => {
    const told = (editor, setting) => take('program.js', speaking(editor, setting)).find_program('', { search: '' }).problem;
    assert.strictEqual(told('en'), '"turnwright" is in no folder of PATH');
    assert.strictEqual(told('de'), '\u201eturnwright\u201c ist in keinem Ordner des PATH');
    assert.strictEqual(told('es'), '\u00abturnwright\u00bb no est\u00e1 en ninguna carpeta de PATH');
    assert.strictEqual(told('fr'), told('en'));
    // An editor that has no such language itself
    assert.strictEqual(told('en', 'de'), told('de'));
    assert.strictEqual(told('de', 'es'), told('es'));
    assert.strictEqual(told('de', 'en'), told('en'));
    assert.strictEqual(told('de', 'xx'), told('de'));
    assert.strictEqual(told('de-at', 'de'), told('de-at'), 'what the editor speaks is left to it');
});

test('a workspace that is not trusted starts nothing; trust starts the server outside of it', async () => {
    const started = [];
    const granted = [];
    const nothing = { dispose() {} };
    const event = () => nothing;
    const vscode = {
        ...speaking('en'),
        workspace: {
            isTrusted: false,
            workspaceFolders: [{ uri: { fsPath: opened[0] } }],
            getConfiguration: () => ({ get: (key) => (key === 'program' ? installed : undefined) }),
            textDocuments: [],
            onDidOpenTextDocument: event,
            onDidChangeConfiguration: event,
            onDidGrantWorkspaceTrust: (act) => {
                granted.push(act);
                return nothing;
            },
        },
        window: { showErrorMessage: async () => undefined },
        commands: { registerCommand: () => nothing, executeCommand: async () => undefined },
    };
    class LanguageClient {
        constructor(id, name, server) {
            started.push(server.run);
        }
        onNotification() {}
        async start() {}
        needsStop() {
            return false;
        }
        async dispose() {}
    }
    class Pages {
        dispose() {}
        renew() {}
    }
    const load = Module._load;
    Module._load = (name, ...rest) =>
        ({ vscode, 'vscode-languageclient/node': { LanguageClient }, './pages': { Pages }, './pictures': { Pictures: Pages }, './beside': { Beside: Pages } })[name] || load(name, ...rest);
    try {
        const extension = require(path.join(source, 'extension.js'));
        await extension.activate({ subscriptions: [] });
        assert.deepStrictEqual(started, []);
        vscode.workspace.isTrusted = true;
        for (const act of granted) await act();
        assert.deepStrictEqual(started, [{ command: installed, args: ['serve'], options: { cwd: path.dirname(installed) } }]);
    } finally {
        Module._load = load;
    }
});

test('a restart begins when the one before has ended, and once for all that ask meanwhile', async () => {
    const { in_turn } = require(path.join(source, 'in_turn.js'));
    const did = [], ends = [];
    const restart = in_turn(() => new Promise((resolve, reject) => {
        did.push(`begins ${ends.length + 1}`);
        ends.push((failed) => { did.push('ends'); (failed ? reject : resolve)(new Error('did not start')); });
    }));
    const settle = () => new Promise((resolve) => setImmediate(resolve));
    const first = restart();
    await settle();
    const more = [restart(), restart()];
    await settle();
    assert.deepStrictEqual(did, ['begins 1'], 'nothing overlaps');
    ends[0](true);
    await first;
    await settle();
    assert.deepStrictEqual(did, ['begins 1', 'ends', 'begins 2'], 'a start that failed is followed by the next');
    ends[1](false);
    await Promise.all(more);
    await settle();
    assert.deepStrictEqual(did, ['begins 1', 'ends', 'begins 2', 'ends']);
    restart();
    await settle();
    assert.strictEqual(did.at(-1), 'begins 3', 'and it can be asked for again');
});
