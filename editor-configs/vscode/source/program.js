// Which file is started as the server: one absolute path, found here. Left to the system, a bare name could be a
// program that lies in the opened folder.
'use strict';

const fs = require('fs');
const path = require('path');
const { said } = require('./said');

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

/// The path that the setting names; with no setting the program that came with this extension, in `inside`; else the
/// first of PATH outside of the opened folders. Relative places count for nothing: they mean another file in every folder.
/// Returns { command } or { problem, kind }: "setting" when the setting is wrong, "missing" when there is none.
function find_program(setting, { search = process.env.PATH || '', opened = [], platform = process.platform, inside } = {}) {
    const name = setting || 'turnwright';
    if (path.isAbsolute(name))
        return is_program(name) ? { command: name } : { problem: said('"{0}" is no program', name), kind: 'setting' };
    if (/[\\/]/.test(name)) return { problem: said('"{0}" is not a whole path from the root', name), kind: 'setting' };
    const file = platform === 'win32' && !/\.exe$/i.test(name) ? `${name}.exe` : name;
    if (!setting && inside && is_program(path.join(inside, file))) return { command: path.join(inside, file) };
    for (const folder of search.split(path.delimiter)) {
        if (!path.isAbsolute(folder)) continue;
        const found = path.join(folder, file);
        if (is_program(found) && !opened.some((root) => lies_in(found, root))) return { command: found };
    }
    return { problem: said('"{0}" is in no folder of PATH', name), kind: 'missing' };
}

/// What a person can do about a server that does not run: a text and the buttons under it, each with its command.
function advice(kind, command) {
    const settings = [said('Open the setting'), 'workbench.action.openSettings', 'turnwright.program'];
    const log = [said('Show the log'), 'turnwright.showLog'];
    const again = [said('Start again'), 'turnwright.restartServer'];
    const help = [said('Show the first steps'), 'turnwright.showFirstSteps'];
    switch (kind) {
    case 'setting':
        return { text: said('Correct the setting turnwright.program, or empty it: then the program of this extension or of PATH is taken.'), buttons: [settings] };
    case 'missing':
        return { text: said('Install the extension that is made for this system (it has the program inside), or unpack turnwright and name its whole path in turnwright.program.'), buttons: [settings, help] };
    case 'blocked':
        return { text: said('The system does not let "{0}" run: allow it in the system\'s virus protection, or unpack it where programs may be run.', command), buttons: [again, log] };
    case 'other':
        return { text: said('"{0}" was made for another system. Install the extension for this one.', command), buttons: [settings] };
    default:
        return { text: said('"{0}" started and ended, or does not answer. The log tells what it said last.', command), buttons: [again, log, settings] };
    }
}

/// The kind of a start that failed, from what the system says.
function kind_of_failure(problem) {
    const text = String((problem && problem.message) || problem);
    if (/EACCES|EPERM|Access is denied/i.test(text)) return 'blocked';
    if (/ENOEXEC|EFTYPE|UNKNOWN|Exec format/i.test(text)) return 'other';
    return 'ended';
}

module.exports = { advice, find_program, kind_of_failure };
