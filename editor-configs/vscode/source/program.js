// Which file is started as the server: one absolute path, found here. Left to the system, a bare name could be a
// program that lies in the opened folder.
'use strict';

const fs = require('fs');
const path = require('path');

function is_program(file) {
    try {
        fs.accessSync(file, fs.constants.X_OK);
        return fs.statSync(file).isFile();
    } catch {
        return false;
    }
}

function real(file) {
    try {
        return fs.realpathSync(file);
    } catch {
        return file;
    }
}

function lies_in(file, folder) {
    const between = path.relative(real(folder), real(file));
    return between === '' || (between.split(path.sep)[0] !== '..' && !path.isAbsolute(between));
}

/// The path that the setting names, or the first of PATH outside of the opened folders. Relative places count for
/// nothing: they mean another file in every folder. Returns { command } or { problem }.
function find_program(setting, { search = process.env.PATH || '', opened = [], platform = process.platform } = {}) {
    const name = setting || 'turnwright';
    if (path.isAbsolute(name))
        return is_program(name) ? { command: name } : { problem: `"${name}" is no program` };
    if (/[\\/]/.test(name)) return { problem: `"${name}" is not a whole path from the root` };
    const file = platform === 'win32' && !/\.exe$/i.test(name) ? `${name}.exe` : name;
    for (const folder of search.split(path.delimiter)) {
        if (!path.isAbsolute(folder)) continue;
        const found = path.join(folder, file);
        if (is_program(found) && !opened.some((root) => lies_in(found, root))) return { command: found };
    }
    return { problem: `"${name}" is in no folder of PATH` };
}

module.exports = { find_program };
