// The picture beside its program: it goes with the cursor and with the edits, and a click in it moves the cursor.
'use strict';

const vscode = require('vscode');
const { go_to, page_panel, with_link_to_editor } = require('./pages');
const { said } = require('./said');

const pause = 200; // milliseconds after an edit: by then the server has the text, and a quick hand is not drawn letter by letter

/// `ask` gets the picture of a program, as HTML, from the server.
class Pictures {
    constructor(ask) {
        this.ask = ask;
        this.shown = new Map(); // by the program's URI
        this.listeners = [
            vscode.workspace.onDidChangeTextDocument(({ document }) => this.changed(document)),
            vscode.window.onDidChangeTextEditorSelection(({ textEditor }) => this.tell_line(textEditor)),
            vscode.window.onDidChangeActiveTextEditor((editor) => editor && this.tell_line(editor)),
        ];
    }

    async show(editor) {
        const program = editor.document.uri;
        const key = program.toString();
        let picture = this.shown.get(key);
        if (!picture) {
            const title = said('{0}: picture', program.path.split('/').pop());
            picture = { program, line: editor.selection.active.line, panel: page_panel(title, vscode.ViewColumn.Beside) };
            picture.panel.onDidDispose(() => {
                clearTimeout(picture.timer);
                picture.gone = true;
                this.shown.delete(key);
            });
            picture.panel.webview.onDidReceiveMessage((said) => this.said(picture, said));
            this.shown.set(key, picture);
        }
        picture.panel.reveal(undefined, true);
        await this.renew(picture);
    }

    changed(document) {
        const picture = this.shown.get(document.uri.toString());
        if (!picture) return;
        clearTimeout(picture.timer);
        picture.timer = setTimeout(() => this.renew(picture).catch(() => {}), pause);
    }

    /// One question at a time; what changes meanwhile is asked about once, when the answer is there.
    async renew(picture) {
        picture.wanted = true;
        if (picture.asking) return;
        picture.asking = true;
        try {
            while (picture.wanted && !picture.gone) {
                picture.wanted = false;
                const html = await this.ask(picture.program);
                if (html && !picture.gone) this.put(picture, html);
            }
        } finally {
            picture.asking = false;
        }
    }

    /// The first page is loaded; later ones take its place in it, and it keeps its view.
    put(picture, html) {
        picture.latest = html;
        if (picture.ready) return picture.panel.webview.postMessage({ page: html });
        picture.loaded = html;
        picture.panel.webview.html = with_link_to_editor(html);
    }

    tell_line(editor) {
        const picture = this.shown.get(editor.document.uri.toString());
        if (!picture) return;
        picture.line = editor.selection.active.line;
        if (picture.ready) picture.panel.webview.postMessage({ line: picture.line });
    }

    said(picture, { ready, line }) {
        if (ready) {
            picture.ready = true;
            // A tab that was moved to another window loads the first one again.
            if (picture.latest !== picture.loaded) picture.panel.webview.postMessage({ page: picture.latest });
            picture.panel.webview.postMessage({ line: picture.line });
        }
        return go_to(picture.program, line);
    }

    dispose() {
        for (const picture of [...this.shown.values()]) picture.panel.dispose();
        for (const listener of this.listeners) listener.dispose();
    }
}

module.exports = { Pictures };
