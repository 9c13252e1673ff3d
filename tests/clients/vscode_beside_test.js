// What stands beside the text in VS Code (status bar, list of sequences) and what is done with files. Run by `node --test`;
// needs no editor: `vscode` and the server are stood in for.
'use strict';

const assert = require('node:assert');
const Module = require('node:module');
const path = require('node:path');
const test = require('node:test');
const { l10n_of } = require('./vscode_l10n');

const source = path.join(__dirname, '../../editor-configs/vscode/source');
const turn = () => new Promise((resolve) => setImmediate(resolve));

/// The parts of the editor that are used, with what was done to them.
function stand_in(settings = {}) {
    const did = { context: {}, trees: {}, items: [], drawn: 0, languages: [], asked: [], opened: [], told: [], written: [] };
    const heard = {};
    const event = (name) => (act) => {
        heard[name] = act;
        return { dispose: () => delete heard[name] };
    };
    class Uri {
        constructor(scheme, place) {
            this.scheme = scheme;
            this.path = place;
        }
        with({ scheme }) { return new Uri(scheme, this.path); }
        toString() { return `${this.scheme}://${this.path}`; }
        static parse(text) { return new Uri(text.split('://')[0], text.split('://')[1]); }
        static joinPath(from, ...parts) { return new Uri(from.scheme, path.posix.join(from.path, ...parts)); }
    }
    const vscode = {
        Uri,
        EventEmitter: class {
            constructor() {
                this.event = () => {};
                this.fire = () => (did.drawn += 1);
                this.dispose = () => {};
            }
        },
        StatusBarAlignment: { Left: 1 },
        ThemeIcon: class { constructor(id) { this.id = id; } },
        TreeItem: class { constructor(label, state) { this.label = label; this.collapsibleState = state; } },
        TreeItemCollapsibleState: { None: 0, Expanded: 2 },
        commands: {
            executeCommand: async (name, key, value) => {
                if (name === 'setContext') did.context[key] = value;
                else did.asked.push(name);
            },
        },
        languages: { setTextDocumentLanguage: (document, language) => did.languages.push([document.uri.path, language]) },
        env: { language: settings.editor || 'en', openExternal: (uri) => did.opened.push(uri.path) },
        l10n: l10n_of(settings.editor),
        workspace: {
            getConfiguration: () => ({ get: (name) => settings[name] }),
            onDidChangeTextDocument: event('edit'),
            workspaceFolders: [{ uri: new Uri('file', '/shop') }],
            fs: {
                stat: async (uri) => { if (uri.path !== '/shop/O1234.nc') throw new Error('none'); },
                writeFile: async (uri, bytes) => did.written.push([uri.path, bytes.length]),
                readFile: async () => Buffer.from('O1\nM30\n'),
            },
            openTextDocument: async (what) => ({ what, languageId: 'turning' }),
        },
        window: {
            createStatusBarItem: (id) => {
                const item = { id, shown: false, show() { this.shown = true; }, hide() { this.shown = false; }, dispose() {} };
                did.items.push(item);
                return item;
            },
            createTreeView: (id, options) => {
                did.trees[id] = { ...options.treeDataProvider, visible: false, dispose() {} };
                if (id === 'turnwright.sequences') did.tree = options.treeDataProvider;
                return did.trees[id];
            },
            onDidChangeTextEditorSelection: event('cursor'),
            onDidChangeActiveTextEditor: event('editor'),
            showTextDocument: async (document) => did.opened.push(document.path || document.what.path || document.what.language),
            showWarningMessage: (text) => did.told.push(text),
            showInputBox: async ({ validateInput }) => {
                assert.ok(validateInput('x') && !validateInput('') && !validateInput('1234'));
                return settings.typed;
            },
            showOpenDialog: async () => settings.chosen,
        },
    };
    const load = Module._load;
    Module._load = (name, ...rest) => (name === 'vscode' ? vscode : load(name, ...rest));
    const loaded = {};
    for (const file of ['said.js', 'beside.js', 'files.js']) delete require.cache[path.join(source, file)];
    for (const file of ['beside.js', 'files.js']) {
        Object.assign(loaded, require(path.join(source, file)));
    }
    Module._load = load;
    return { ...loaded, vscode, did, heard };
}

const cell = (part, brief, name = part) => ({ part, name, brief, whole: `${brief}, and more` });
const state = [cell('tool', 'T03'), cell('spindle', '1102 rpm'), cell('feed', 'feed not known'), cell('units', 'mm')];
const row = (name, line, holdsLine, restart = 'sets all it reads', takesOver = restart.startsWith('takes over')) =>
    ({ name, time: '1 min', restart, takesOver, holdsLine, range: { start: { line, character: 0 } } });

function editor_of(languageId = 'turning') {
    return { document: { languageId, version: 1, uri: { path: '/shop/pin.nc' } }, selection: { active: { line: 3 } } };
}

test('the bar shows what the server says of the cursor, also what it does not know', async () => {
    const { Beside, vscode, did } = stand_in();
    const asked = [];
    const beside = new Beside(async (method) => {
        asked.push(method);
        if (method === 'turnwright/paths') return [];
        return method === 'turnwright/state' ? state : [row('N1 T0101', 9, true), row('N2 T0202', 30, false, 'takes over units')];
    });
    vscode.window.activeTextEditor = editor_of();
    await beside.renew();
    assert.deepStrictEqual(asked, ['turnwright/state', 'turnwright/sequences', 'turnwright/paths']);
    assert.deepStrictEqual(did.items.map(({ text }) => text.replace(/^\$\(\S+\) /, '')), ['T03', '1102 rpm', 'feed not known', 'mm']);
    assert.ok(did.items.every(({ shown, tooltip }) => shown && tooltip.includes('and more')));
    const shown = did.tree.getChildren().map((one) => did.tree.getTreeItem(one));
    assert.deepStrictEqual(shown.map(({ label, description }) => [label, description]), [['N1 T0101', '1 min'], ['N2 T0202', '1 min']]);
    assert.deepStrictEqual(shown.map(({ iconPath }) => iconPath.id), ['arrow-right', 'warning']);
    assert.deepStrictEqual(shown[1].command.arguments.slice(1), [30]);
    assert.match(shown[1].tooltip, /After a stop elsewhere it takes over units/);
    assert.strictEqual(did.tree.getTreeItem(row('N5 T0505 THREAD RELIEF 4 WIDE', 0, false)).label, 'N5 T0505 THREAD\u2026');
    assert.strictEqual(did.drawn, 1);
    await beside.renew();
    assert.strictEqual(did.drawn, 1, 'a list that is the same is not drawn anew');

    vscode.window.activeTextEditor = editor_of('markdown');
    await beside.renew();
    assert.ok(did.items.every(({ shown: is_shown }) => !is_shown) && did.tree.getChildren().length === 0, 'nothing of it stays for another text');
});

test('signs are the same in every language', async () => {
    const { Beside, vscode, did } = stand_in({ editor: 'de' });
    const beside = new Beside(async (method) => (method === 'turnwright/state' ? [cell('tool', 'T03', 'Werkzeug')]
        : [row('N2 T0202', 30, false, '\u00fcbernimmt Einheiten', true)]));
    vscode.window.activeTextEditor = editor_of();
    await beside.renew();
    assert.strictEqual(did.items[0].text, '$(tools) T03');
    assert.strictEqual(did.items[0].name, 'Turnwright: Werkzeug');
    assert.strictEqual(did.items[0].tooltip, 'Werkzeug nach diesem Satz: T03, and more');
    const shown = did.tree.getTreeItem(did.tree.getChildren()[0]);
    assert.strictEqual(shown.iconPath.id, 'warning');
    assert.match(shown.tooltip, /Nach einem Halt anderswo: \u00fcbernimmt Einheiten/);
});

// As the server answers for the two programs of tests/endtoend/test_two_paths.py, in short.
const lines = (first, last) => ({ start: { line: first, character: 0 }, end: { line: last, character: 0 } });
const partner = {
    name: 'O1012',
    location: { uri: 'file:///shop/O1012.nc', range: lines(0, 0) },
    rows: [
        {
            to: 'M101',
            own: { tools: ['T01 ROUGH', 'T03 FINISH'], time: '48 s', range: lines(2, 9) },
            other: { tools: ['T02 DRILL 8'], time: '12 s', range: lines(3, 5) },
            ownWaits: 0,
            otherWaits: 36,
        },
        { to: '', own: { tools: [], time: '0 s' }, other: { tools: ['T02 DRILL 8'], time: 'at least 3 s', range: lines(6, 9) } },
    ],
};

test('the outline of the other turret stands beside this one, from wait to wait', async () => {
    const { Beside, vscode, did } = stand_in();
    let asked = 0, partners = [partner];
    const beside = new Beside(async (method) => {
        if (method === 'turnwright/state') return state;
        if (method === 'turnwright/sequences') return [];
        asked += 1;
        return partners;
    });
    const editor = (vscode.window.activeTextEditor = editor_of());
    await beside.renew();
    await beside.asking;
    const tree = did.trees['turnwright.paths'];
    const shown = (rows) => rows.map((one) => {
        const item = tree.getTreeItem(one);
        return [item.label, item.description, item.command && item.command.arguments.map((part) => part.path || part)];
    });
    assert.strictEqual(did.context['turnwright.partner'], true, 'the view is there for a program with a partner');
    assert.deepStrictEqual(shown(tree.getChildren()), [
        ['M101', '48 s | 12 s, O1012 waits', ['/shop/pin.nc', 2]],
        ['\u2026', '0 s | at least 3 s', undefined],
    ]);
    const [first, last] = tree.getChildren();
    assert.deepStrictEqual(shown(tree.getChildren(first)), [
        ['T01 ROUGH', '| T02 DRILL 8', ['/shop/pin.nc', 2]],
        ['T03 FINISH', '| \u2013', ['/shop/pin.nc', 2]],
        ['O1012', '12 s', ['/shop/O1012.nc', 3]],
    ]);
    assert.deepStrictEqual(shown(tree.getChildren(last)), [
        ['\u2013', '| T02 DRILL 8', undefined],
        ['O1012', 'at least 3 s', ['/shop/O1012.nc', 6]],
    ]);
    // Going about in the text asks nothing more; an edit does while the view is looked at.
    await beside.renew();
    await beside.asking;
    editor.document.version = 2;
    await beside.renew();
    await beside.asking;
    assert.strictEqual(asked, 1);
    tree.visible = true;
    await beside.renew();
    await beside.asking;
    await beside.renew();
    await beside.asking;
    assert.strictEqual(asked, 2);

    partners = [];
    vscode.window.activeTextEditor = editor_of();
    vscode.window.activeTextEditor.document.uri = { path: '/shop/other.nc', toString: () => 'other' };
    await beside.renew();
    await beside.asking;
    assert.strictEqual(did.context['turnwright.partner'], false, 'no partner, no view');
    assert.strictEqual(tree.getChildren().length, 0);
});

test('answers that come late are not shown, and a server that fails changes nothing', async () => {
    const { Beside, vscode, did } = stand_in();
    let answers = [];
    const beside = new Beside((method) => new Promise((answer, fail) => answers.push({ method, answer, fail })));
    vscode.window.activeTextEditor = editor_of();
    const first = beside.renew();
    const second = beside.renew();
    answers[1].answer(state);
    await turn();
    answers[2].answer([row('N2 T0202', 30, true)]);
    await second;
    answers[0].answer([cell('tool', 'T99')]);
    await turn();
    answers.filter(({ method }) => method === 'turnwright/sequences')[1].answer([row('old', 0, false)]);
    await first;
    assert.match(did.items[0].text, /T03/);
    assert.strictEqual(did.tree.getChildren()[0].name, 'N2 T0202');
    answers = [];
    const third = beside.renew();
    answers[0].fail(new Error('gone'));
    await third;
    assert.match(did.items[0].text, /T03/);
});

test('the bar can be switched off; the list stays', async () => {
    const { Beside, vscode, did } = stand_in({ statusBar: false });
    const beside = new Beside(async (method) => (method === 'turnwright/state' ? state : method === 'turnwright/paths' ? [] : [row('N1', 0, true)]));
    vscode.window.activeTextEditor = editor_of();
    await beside.renew();
    assert.ok(did.items.every(({ shown }) => !shown));
    assert.strictEqual(did.tree.getChildren().length, 1);
});

test('endings of the setting make programs, of plain text alone', () => {
    const { endings_of, take_program, did } = stand_in({ endings: ['TXT', '.ptp', 'a/b', 3, ''] });
    assert.deepStrictEqual(endings_of(['TXT', '.ptp', 'a/b', 3, '']), ['.txt', '.ptp']);
    assert.deepStrictEqual(endings_of('txt'), []);
    for (const [name, languageId] of [['/a.TXT', 'plaintext'], ['/a.ptp', 'plaintext'], ['/a.log', 'plaintext'], ['/b.txt', 'markdown']])
        take_program({ uri: { path: name }, languageId });
    assert.deepStrictEqual(did.languages, [['/a.TXT', 'turning'], ['/a.ptp', 'turning']]);
});

test('a new program gets a file of its number, and never one that is there', async () => {
    let { new_program, did } = stand_in({ typed: '77' });
    await new_program();
    assert.deepStrictEqual([did.opened, did.asked, did.written], [['/shop/O77.nc'], ['editor.action.triggerSuggest'], [['/shop/O77.nc', 0]]]);
    ({ new_program, did } = stand_in({ typed: '1234' }));
    await new_program();
    assert.deepStrictEqual([did.opened, did.asked, did.told.length, did.written], [['/shop/O1234.nc'], [], 1, []]);
    ({ new_program, did } = stand_in({ typed: '' }));
    await new_program();
    assert.deepStrictEqual(did.opened, ['turning']);
    ({ new_program, did } = stand_in({ typed: undefined }));
    await new_program();
    assert.deepStrictEqual(did.opened, [], 'who leaves the question gets nothing');
});

test('another program to compare with is read here and handed over with its name', async () => {
    const { other_program, vscode } = stand_in();
    assert.strictEqual(await other_program(), undefined);
    const place = new vscode.Uri('file', '/elsewhere/old.nc');
    assert.deepStrictEqual(await other_program(place), ['O1\nM30\n', 'old.nc']);
});
