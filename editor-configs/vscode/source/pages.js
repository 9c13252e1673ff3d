// What the server shows: pages (setup sheet, program told in words) in tabs, long texts in a tab, short ones as messages.
'use strict';

const crypto = require('crypto');
const vscode = require('vscode');

const scheme = 'turnwright';

/// Lets a click in the page reach the editor, and the editor's cursor and edits the page. The page allows no script but its own, so this one gets a name that is
/// good for once. Nothing else about the page is changed.
function with_link_to_editor(html) {
    const nonce = crypto.randomBytes(16).toString('hex');
    const script = `<script nonce="${nonce}">
        const editor = acquireVsCodeApi();
        addEventListener('click', (event) => {
            const from = event.target.closest('[data-line]');
            if (from) editor.postMessage({ line: Number(from.dataset.line) });
        });
        addEventListener('message', (event) => {
            if (event.data.page !== undefined) take_page(event.data.page);
            if (event.data.line !== undefined) go_to_line(event.data.line);
        });
        editor.postMessage({ ready: true });
    </script>`;
    const end = html.lastIndexOf('</body>');
    if (!html.includes("script-src '") || end < 0) return html; // The setup sheet has no script and needs none
    return html.slice(0, end).replace("script-src '", `script-src 'nonce-${nonce}' '`) + script + html.slice(end);
}

/// A tab for a page, which may load nothing.
function page_panel(title, viewColumn) {
    return vscode.window.createWebviewPanel('turnwright.page', title, { viewColumn, preserveFocus: true },
        { enableScripts: true, localResourceRoots: [], retainContextWhenHidden: true, enableFindWidget: true });
}

/// To a line of a program, from 1, where it is shown.
async function go_to(program, line, preserveFocus = true) {
    if (!program || !Number.isInteger(line)) return;
    const column = vscode.window.visibleTextEditors
        .filter((editor) => editor.document.uri.toString() === program.toString())
        .map((editor) => editor.viewColumn)[0];
    const place = new vscode.Range(line - 1, 0, line - 1, 0);
    await vscode.window.showTextDocument(program,
        { selection: place, viewColumn: column || vscode.ViewColumn.One, preserveFocus });
}

/// Lines that fit into half a window.
function wrapped(text, width) {
    return text.replace(new RegExp(`(.{1,${width}})( +|$)`, 'g'), '$1\n');
}

class Pages {
    constructor() {
        this.panels = new Map();
        this.texts = new Map();
        this.changed = new vscode.EventEmitter();
        this.provider = vscode.workspace.registerTextDocumentContentProvider(scheme, {
            onDidChange: this.changed.event,
            provideTextDocumentContent: (uri) => this.texts.get(uri.path) || '',
        });
    }

    /// Middleware of window/showDocument: the server's pages open beside the program, all else as the editor does it.
    async show_document(params, next) {
        const uri = vscode.Uri.parse(params.uri);
        const wanted = vscode.workspace.getConfiguration('turnwright').get('pages');
        if (!params.external || uri.scheme !== 'file' || wanted === 'browser') return next(params);
        try {
            const bytes = await vscode.workspace.fs.readFile(uri);
            this.show_page(uri.path.split('/').pop(), Buffer.from(bytes).toString('utf8'));
            return { success: true };
        } catch {
            return next(params);
        }
    }

    show_page(name, html) {
        // Pages are asked for by a command on the program in front, so that is the one a click goes back to.
        const program = vscode.window.activeTextEditor && vscode.window.activeTextEditor.document.uri;
        // The sheet is as wide as paper.
        const viewColumn = name.endsWith('-sheet.html') ? vscode.ViewColumn.Active : vscode.ViewColumn.Beside;
        let panel = this.panels.get(name);
        if (!panel) {
            panel = page_panel(name.replace(/\.html$/, ''), viewColumn);
            panel.onDidDispose(() => this.panels.delete(name));
            this.panels.set(name, panel);
        }
        if (panel.listener) panel.listener.dispose();
        panel.listener = panel.webview.onDidReceiveMessage(({ line }) => go_to(program, line));
        panel.webview.html = with_link_to_editor(html);
        panel.reveal(undefined, true);
    }

    /// window/showMessage: a message shows one line, so a table or a longer text gets a tab.
    show_message({ type, message }) {
        if (message.trim().includes('\n')) return this.show_text(message);
        if (type > 2 && message.length > 100) return this.show_text(wrapped(message, 44));
        if (type === 1) return void vscode.window.showErrorMessage(message);
        if (type === 2) return void vscode.window.showWarningMessage(message);
        return void vscode.window.showInformationMessage(message);
    }

    async show_text(message) {
        const text = message.replace(/^```.*\n/gm, ''); // A fence is for Markdown, this is a text
        const uri = vscode.Uri.from({ scheme, path: 'Turnwright' });
        this.texts.set(uri.path, text);
        this.changed.fire(uri);
        const document = await vscode.workspace.openTextDocument(uri);
        // A wide table needs the whole window.
        const wide = Math.max(...text.split('\n').map((line) => line.length)) > 80;
        await vscode.window.showTextDocument(document, {
            viewColumn: wide ? vscode.ViewColumn.Active : vscode.ViewColumn.Beside,
            preserveFocus: !wide,
            preview: true,
        });
    }

    dispose() {
        for (const panel of this.panels.values()) panel.dispose();
        this.provider.dispose();
        this.changed.dispose();
    }
}

module.exports = { Pages, go_to, page_panel, with_link_to_editor };
