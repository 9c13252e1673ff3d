// vscode.l10n as the editor has it: a text of the extension in the editor's language, its places filled.
'use strict';

const fs = require('node:fs');
const path = require('node:path');

const folder = path.join(__dirname, '../../editor-configs/vscode/l10n');

function l10n_of(language) {
    const file = path.join(folder, `bundle.l10n.${language}.json`);
    const texts = fs.existsSync(file) ? JSON.parse(fs.readFileSync(file)) : {};
    return { t: (text, ...values) => (texts[text] || text).replace(/\{(\d+)\}/g, (place, number) => String(values[number])) };
}

module.exports = { l10n_of };
