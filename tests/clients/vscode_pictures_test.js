// The picture beside its program in VS Code: cursor and edits go to it, clicks come back. Run by `node --test`; needs no
// editor: `vscode` and the server are stood in for.
'use strict';

const assert = require('node:assert');
const Module = require('node:module');
const path = require('node:path');
const test = require('node:test');
const { l10n_of } = require('./vscode_l10n');

const source = path.join(__dirname, '../../editor-configs/vscode/source');
const html = (text) => `<meta content="script-src 'sha256-x'"><body>${text}</body>`;
const turn = () => new Promise((resolve) => setImmediate(resolve));

/// What of the editor the extension uses; `did` tells what was done to it.
function stand_in() {
    const did = { posted: [], pages: [], shown: [], panels: 0 };
    const heard = {};
    const event = (name) => (act) => {
        heard[name] = act;
        return { dispose: () => delete heard[name] };
    };
    const vscode = {
        l10n: l10n_of('en'),
        env: { language: 'en' },
        workspace: { onDidChangeTextDocument: event('edit'), getConfiguration: () => ({ get: () => '' }) },
        window: {
            visibleTextEditors: [],
            onDidChangeTextEditorSelection: event('cursor'),
            onDidChangeActiveTextEditor: event('editor'),
            createWebviewPanel: () => {
                did.panels += 1;
                return {
                    onDidDispose: event('closed'),
                    reveal() {},
                    dispose() {},
                    webview: {
                        set html(text) { did.pages.push(text); },
                        postMessage: (message) => did.posted.push(message),
                        onDidReceiveMessage: event('said'),
                    },
                };
            },
            showTextDocument: async (program, { selection }) => did.shown.push([program.path, selection.line]),
        },
        Range: class { constructor(line) { this.line = line; } },
        ViewColumn: { One: 1, Beside: -2 },
    };
    const load = Module._load;
    Module._load = (name, ...rest) => (name === 'vscode' ? vscode : load(name, ...rest));
    for (const file of ['said.js', 'pictures.js', 'pages.js']) delete require.cache[path.join(source, file)];
    const { Pictures } = require(path.join(source, 'pictures.js'));
    Module._load = load;
    return { Pictures, did, heard };
}
function editor_of(name, line) {
    return { document: { uri: { path: name, toString: () => `file://${name}` } }, selection: { active: { line } } };
}

test('the cursor goes to the picture of its program, and a click comes back', async () => {
    const { Pictures, did, heard } = stand_in();
    const pictures = new Pictures(async () => html('first'));
    const editor = editor_of('/shop/pin.nc', 6);
    await pictures.show(editor);
    assert.match(did.pages[0], /first.*<script nonce="[0-9a-f]{32}">/s);
    heard.cursor({ textEditor: editor_of('/shop/pin.nc', 7) });
    assert.deepStrictEqual(did.posted, [], 'before the page is there it hears nothing');
    heard.said({ ready: true });
    assert.deepStrictEqual(did.posted, [{ line: 7 }], 'it opens where the cursor is');
    heard.cursor({ textEditor: editor_of('/shop/pin.nc', 9) });
    heard.cursor({ textEditor: editor_of('/shop/other.nc', 3) });
    assert.deepStrictEqual(did.posted.slice(1), [{ line: 9 }], 'the cursor of another program is none of its business');
    await heard.said({ line: 4 });
    assert.deepStrictEqual(did.shown, [['/shop/pin.nc', 3]]);
    await pictures.show(editor);
    assert.strictEqual(did.panels, 1, 'a program has one picture');
});

test('an edit renews the picture in its place; of many the latest counts', async () => {
    const { Pictures, did, heard } = stand_in();
    const asked = [];
    const pictures = new Pictures((program) => new Promise((answer) => asked.push([program.path, answer])));
    const editor = editor_of('/shop/pin.nc', 0);
    const shown = pictures.show(editor);
    asked[0][1](html('first'));
    await shown;
    heard.said({ ready: true });
    did.posted.length = 0;
    const picture = pictures.shown.get('file:///shop/pin.nc');
    heard.edit({ document: editor_of('/shop/other.nc').document });
    assert.strictEqual(picture.timer, undefined);
    heard.edit({ document: editor.document });
    assert.ok(picture.timer, 'a pause is waited for');
    clearTimeout(picture.timer);
    for (let i = 0; i < 5; i += 1) pictures.renew(picture);
    await turn();
    assert.strictEqual(asked.length, 2, 'one question at a time');
    asked[1][1](html('second'));
    await turn();
    assert.strictEqual(asked.length, 3, 'and one more for all that came meanwhile');
    asked[2][1](html('third'));
    await turn();
    assert.strictEqual(asked.length, 3);
    assert.deepStrictEqual(did.posted, [{ page: html('second') }, { page: html('third') }]);
    assert.strictEqual(did.pages.length, 1, 'the page itself stays, with its view');
    heard.said({ ready: true });
    assert.deepStrictEqual(did.posted[2], { page: html('third') }, 'a tab that was loaded again gets the latest');
});

test('a server that fails or is gone leaves the picture as it was', async () => {
    const { Pictures, did, heard } = stand_in();
    let answer = async () => html('first');
    const pictures = new Pictures(() => answer());
    const editor = editor_of('/shop/pin.nc', 0);
    await pictures.show(editor);
    heard.said({ ready: true });
    did.posted.length = 0;
    const picture = pictures.shown.get('file:///shop/pin.nc');
    answer = async () => { throw new Error('gone'); };
    await assert.rejects(pictures.renew(picture));
    answer = async () => undefined;
    await pictures.renew(picture);
    assert.deepStrictEqual(did.posted, []);
    answer = async () => html('again');
    await pictures.renew(picture);
    assert.deepStrictEqual(did.posted, [{ page: html('again') }]);
    heard.closed();
    assert.strictEqual(pictures.shown.size, 0);
    heard.edit({ document: editor.document });
    assert.strictEqual(picture.timer, undefined);
    pictures.dispose();
    assert.strictEqual(heard.edit, undefined);
});
