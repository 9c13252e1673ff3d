// The texts of this extension in the language of the setting, else in the editor's own. Their English is their key.
'use strict';

const vscode = require('vscode');

/// The setting also holds where the editor itself has no such language: then its texts are read here.
function own_texts() {
    const wanted = vscode.workspace.getConfiguration('turnwright').get('language');
    if (!wanted || (vscode.env.language || '').toLowerCase().split('-')[0] === wanted) return undefined;
    if (wanted === 'en') return {};
    try {
        return require(`../l10n/bundle.l10n.${wanted.replace(/[^a-z]/g, '')}.json`);
    } catch {
        return undefined; // a language that is not there: the editor's own
    }
}

/// "{0} is there" with its values.
function said(text, ...values) {
    const own = own_texts();
    if (!own) return vscode.l10n.t(text, ...values);
    return (own[text] || text).replace(/\{(\d+)\}/g, (place, number) => (number in values ? String(values[number]) : place));
}

module.exports = { said };
