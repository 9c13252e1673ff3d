// Beside the text: the state at the cursor in the status bar, and the sequences with their times in a view. All words come
// from the server.
'use strict';

const vscode = require('vscode');
const { said } = require('./said');

const pause = 120; // milliseconds that the cursor has to rest
const icons = { tool: '$(tools)', spindle: '$(sync)', feed: '$(arrow-right)', units: '$(symbol-ruler)' };

const titles = { tool: () => said('tool'), spindle: () => said('spindle'), feed: () => said('feed'), units: () => said('units') };

const widest = 24; // letters of a name, so that its time is seen beside it

/// "N5 T0505 THREAD RELIEF 4 WIDE" -> "N5 T0505 THREAD RELIEF..."
function shortened(name) {
    if (name.length <= widest) return name;
    const cut = name.slice(0, widest - 2);
    return `${cut.slice(0, Math.max(cut.lastIndexOf(' '), widest / 2))}\u2026`;
}

/// What of a row is shown: its label, what stands behind it, its icon, what the pointer on it tells.
function row_of({ name, time, restart, takesOver, holdsLine }) {
    return {
        label: shortened(name),
        description: time,
        icon: holdsLine ? 'arrow-right' : takesOver ? 'warning' : 'circle-outline',
        tooltip: restart ? said('{0}: {1}. After a stop elsewhere it {2}.', name, time, restart) : `${name}: ${time}`,
    };
}

/// `ask(method, editor)` gets what the server says of the place of an editor's cursor; undefined when there is no server.
class Beside {
    constructor(ask) {
        this.ask = ask;
        this.rows = [];
        this.changed = new vscode.EventEmitter();
        this.items = Object.keys(icons).map((name, index) => {
            const item = vscode.window.createStatusBarItem(`turnwright.${name}`, vscode.StatusBarAlignment.Left, 40 - index);
            item.name = `Turnwright: ${titles[name]()}`;
            item.command = 'turnwright.explainThisSequence';
            return item;
        });
        this.view = vscode.window.createTreeView('turnwright.sequences', {
            treeDataProvider: {
                onDidChangeTreeData: this.changed.event,
                getChildren: () => this.rows,
                getTreeItem: (row) => this.tree_item(row),
            },
        });
        this.listeners = [
            vscode.window.onDidChangeTextEditorSelection(({ textEditor }) => this.soon(textEditor)),
            vscode.window.onDidChangeActiveTextEditor((editor) => this.soon(editor)),
            vscode.workspace.onDidChangeTextDocument(({ document }) => {
                const editor = vscode.window.activeTextEditor;
                if (editor && editor.document === document) this.soon(editor);
            }),
        ];
    }

    tree_item(row) {
        const shown = row_of(row);
        const item = new vscode.TreeItem(shown.label);
        Object.assign(item, shown);
        item.iconPath = new vscode.ThemeIcon(shown.icon);
        item.command = { command: 'turnwright.goToSequence', title: said('Go There'), arguments: [row.program, row.range.start.line] };
        return item;
    }

    /// After a pause, for the editor in front.
    soon(editor) {
        clearTimeout(this.timer);
        this.timer = setTimeout(() => this.renew(editor).catch(() => {}), pause);
    }

    async renew(editor = vscode.window.activeTextEditor) {
        const wanted = (this.wanted = (this.wanted || 0) + 1);
        if (!editor || editor !== vscode.window.activeTextEditor) editor = vscode.window.activeTextEditor;
        if (!editor || editor.document.languageId !== 'turning') {
            // A page in front has no text; the program beside it is still what one works on.
            if (editor) this.show([], []);
            return;
        }
        let state, sequences;
        try {
            [state, sequences] = [await this.ask('turnwright/state', editor), await this.ask('turnwright/sequences', editor)];
        } catch {
            return; // newer text waits: the next question has its answer
        }
        if (wanted !== this.wanted) return;
        const program = editor.document.uri;
        this.show(state || [], (sequences || []).map((row) => ({ ...row, program })));
    }

    show(state, rows) {
        const on = vscode.workspace.getConfiguration('turnwright').get('statusBar') !== false;
        this.items.forEach((item, index) => {
            const cell = state[index];
            if (!cell || !on) return item.hide();
            item.text = `${icons[cell.part] || ''} ${cell.brief}`;
            item.tooltip = said('{0} after this block: {1}', cell.name, cell.whole);
            item.show();
        });
        // The list is drawn anew only when it differs: one that is looked at keeps its place.
        if (JSON.stringify(rows) === JSON.stringify(this.rows)) return;
        this.rows = rows;
        this.changed.fire();
    }

    dispose() {
        clearTimeout(this.timer);
        for (const part of [...this.listeners, ...this.items, this.view, this.changed]) part.dispose();
    }
}

module.exports = { Beside, row_of };
