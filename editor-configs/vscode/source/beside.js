// Beside the text: the state at the cursor in the status bar, the sequences with their times in a view, and in another one
// what the program of the other turret does meanwhile. All words about a program come from the server.
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

/// Rows from wait to wait, of every program that this one runs together with: the tools of both side by side, then the place
/// in the other program. `partners` as turnwright/paths tells them.
function rows_of_paths(partners, program) {
    const rows = [];
    for (const { name, location, rows: stretches } of partners) {
        const other = location && vscode.Uri.parse(location.uri);
        for (const { to, own, other: theirs, ownWaits = 0, otherWaits = 0 } of stretches) {
            const waits = ownWaits >= 0.5 ? said('this waits') : otherWaits >= 0.5 ? said('{0} waits', name) : '';
            const children = [];
            for (let i = 0; i < Math.max(own.tools.length, theirs.tools.length); ++i)
                children.push({
                    label: shortened(own.tools[i] || '\u2013'),
                    description: `| ${theirs.tools[i] || '\u2013'}`,
                    tooltip: `${own.tools[i] || '\u2013'} | ${name}: ${theirs.tools[i] || '\u2013'}`,
                    icon: 'tools',
                    place: own.range && [program, own.range.start.line],
                });
            if (other && theirs.range)
                children.push({
                    label: name,
                    description: theirs.time,
                    tooltip: said('{0}, from line {1} on', name, theirs.range.start.line + 1),
                    icon: 'go-to-file',
                    place: [other, theirs.range.start.line],
                });
            rows.push({
                label: to || '\u2026',
                description: [own.time, theirs.time].join(' | ') + (waits && `, ${waits}`),
                tooltip: to ? said('Up to {0}: {1} here, {2} in {3}', to, own.time, theirs.time, name)
                    : said('Up to the end: {0} here, {1} in {2}', own.time, theirs.time, name),
                icon: 'git-compare',
                place: own.range && [program, own.range.start.line],
                children,
            });
        }
    }
    return rows;
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
        this.stretches = [];
        this.stretches_changed = new vscode.EventEmitter();
        this.paths_view = vscode.window.createTreeView('turnwright.paths', {
            treeDataProvider: {
                onDidChangeTreeData: this.stretches_changed.event,
                getChildren: (row) => (row ? row.children || [] : this.stretches),
                getTreeItem: (row) => this.stretch_item(row),
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

    stretch_item(row) {
        const state = row.children && row.children.length ? vscode.TreeItemCollapsibleState.Expanded : vscode.TreeItemCollapsibleState.None;
        const item = new vscode.TreeItem(row.label, state);
        Object.assign(item, { description: row.description, tooltip: row.tooltip, iconPath: new vscode.ThemeIcon(row.icon) });
        if (row.place) item.command = { command: 'turnwright.goToSequence', title: said('Go There'), arguments: row.place };
        return item;
    }

    /// Both programs are gone through for it: asked when a program comes in front, else only while it is looked at, and once
    /// for a text.
    async renew_paths(editor) {
        const { uri, version } = editor.document;
        const seen = this.paths_seen;
        if (seen && seen.program === uri.toString() && (seen.version === version || !this.paths_view.visible)) return;
        const partners = (await this.ask('turnwright/paths', editor)) || [];
        if (!vscode.window.activeTextEditor || vscode.window.activeTextEditor.document !== editor.document) return;
        this.paths_seen = { program: uri.toString(), version };
        this.show_paths(rows_of_paths(partners, uri), partners.length > 0);
    }

    /// The view is there only for a program that has a partner.
    show_paths(rows, is_there) {
        if (is_there !== this.paths_there) vscode.commands.executeCommand('setContext', 'turnwright.partner', is_there);
        this.paths_there = is_there;
        if (JSON.stringify(rows) === JSON.stringify(this.stretches)) return;
        this.stretches = rows;
        this.stretches_changed.fire();
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
            if (editor) {
                this.show([], []);
                this.paths_seen = undefined;
                this.show_paths([], false);
            }
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
        this.asking = this.renew_paths(editor).catch(() => {}); // newer text waits, or a server that does not know the question
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
        for (const part of [...this.listeners, ...this.items, this.view, this.changed, this.paths_view, this.stretches_changed]) part.dispose();
    }
}

module.exports = { Beside, row_of, rows_of_paths };
