// Drives VS Code's engine in a headless browser against the real server, as a person would: keys and clicks.
// Run by ../vscode.sh; environment: ADDRESS, WORK_DIR, PICTURES, CHROMIUM. Every expectation that fails is printed;
// the exit status says whether any did.
'use strict';

const fs = require('fs');
const path = require('path');
const { chromium } = require(path.join(process.env.MODULES, 'playwright-core'));

const { ADDRESS, WORK_DIR, PICTURES } = process.env;
let failures = 0;
function expect(condition, what) {
    console.log(`${condition ? 'ok   ' : 'FAIL '} ${what}`);
    if (!condition) failures += 1;
}
async function wait(what, condition, seconds = 20) {
    const end = Date.now() + seconds * 1000;
    let met = false;
    while (!met && Date.now() < end) {
        met = await condition().catch(() => false);
        if (!met) await new Promise((resolve) => setTimeout(resolve, 100));
    }
    expect(met, what);
    return met;
}

/// The editor's window and what a person does in it.
class Editor {
    constructor(page) {
        this.page = page;
    }
    picture(name) {
        return this.page.screenshot({ path: path.join(PICTURES, `vscode-${name}.png`) });
    }
    press(keys) {
        return this.page.keyboard.press(keys);
    }
    /// Runs a command by its name in the palette.
    async command(title) {
        await this.press('F1');
        const input = this.page.locator('.quick-input-widget input.input');
        await input.waitFor();
        await input.fill(`>${title}`);
        await this.page.locator('.quick-input-list .monaco-list-row', { hasText: title }).first().waitFor();
        await this.press('Enter');
    }
    async choose(text) {
        const row = this.page.locator('.quick-input-list .monaco-list-row', { hasText: text }).first();
        await row.waitFor();
        await row.click();
    }
    async open(name) {
        const row = this.page.locator('.explorer-folders-view .monaco-list-row', { hasText: name }).first();
        const tab = this.page.locator(`.tab.active[data-resource-name="${name}"]`);
        // The list draws its rows anew when a file comes or goes: a click can land on the wrong one.
        for (let times = 0; times < 3 && (times === 0 || !(await tab.isVisible())); times += 1) {
            await row.dblclick();
            await tab.waitFor({ timeout: 7000 }).catch(() => {});
        }
        await tab.waitFor();
        await this.page.locator('.monaco-editor .view-line').first().waitFor();
    }
    /// Puts the cursor: line and column from 1.
    async go_to(line, column) {
        await this.press('Control+g');
        const input = this.page.locator('.quick-input-widget input.input');
        await input.waitFor();
        await input.fill(`:${line},${column}`);
        await this.press('Enter');
        await input.waitFor({ state: 'hidden' });
    }
    /// Puts the cursor on a part of the only line that has this text.
    async go_to_text(name, text, part) {
        await this.go_to(...place(text, part, saved(name).split('\n')));
    }
    /// Whether the cursor stands at this line and column of this program.
    async stands_at(name, line, column) {
        const active = this.page.locator(`.tab.active[data-resource-name="${name}"]`);
        const said = await this.page.locator('#status\\.editor\\.selection').innerText();
        return (await active.count()) > 0 && said.trim() === `Ln ${line}, Col ${column}`;
    }
    /// Waits until the program, saved, has this whole text.
    async wait_for_text(what, name, text) {
        const met = await wait(what, async () => {
            await this.press('Control+s');
            return saved(name) === text;
        });
        if (!met) show_difference(saved(name), text);
    }
    async rename(new_name) {
        await this.press('F2');
        const box = this.page.locator('.monaco-editor .rename-box input.rename-input');
        await box.waitFor();
        const old_name = await box.inputValue();
        await box.fill(new_name);
        await this.press('Enter');
        await box.waitFor({ state: 'hidden' });
        return old_name;
    }
    async problems() {
        const rows = this.page.locator('.markers-panel .monaco-list-row');
        return (await rows.allInnerTexts()).map((text) => text.replace(/\s+/g, ' ').trim());
    }
    /// The text of a line as it stands in the window.
    async line(number) {
        await this.go_to(number, 1);
        const top = await this.page.locator('.monaco-editor.focused .line-numbers', { hasText: new RegExp(`^${number}$`) })
            .evaluate((element) => element.parentElement.style.top);
        return this.page.locator('.monaco-editor.focused .view-line').evaluateAll((lines, wanted) => {
            const found = lines.find((line) => line.style.top === wanted);
            if (!found) return '';
            const copy = found.cloneNode(true);
            // Hints stand between the words but are no part of the text.
            copy.querySelectorAll('[class*="dyn-rule"]').forEach((hint) => hint.remove());
            return copy.textContent.replace(/\u00a0/g, ' ').trimEnd();
        }, top);
    }
    /// The colour of a word in the window.
    colour(word) {
        return this.page.locator('.monaco-editor .view-line span span', { hasText: new RegExp(`^\\s*${word}\\s*$`) }).first()
            .evaluate((element) => getComputedStyle(element).color);
    }
}

function saved(name) {
    return fs.readFileSync(path.join(WORK_DIR, name), 'utf8');
}
function show_difference(found, wanted) {
    const [are, should] = [found.split('\n'), wanted.split('\n')];
    for (let i = 0; i < Math.max(are.length, should.length); i += 1)
        if (are[i] !== should[i]) console.log(`      line ${i + 1}: ${are[i]}\n      instead of ${should[i]}`);
}

const program = fs.readFileSync(path.join(WORK_DIR, 'pump-shaft-faulty.nc'), 'utf8').split(/\r?\n/);
/// Line from 1 and column from 1 of a text in a program, the faulty example when none is given.
function place(text, part = text, lines = program) {
    const index = lines.findIndex((line) => line.includes(text));
    if (index < 0) throw new Error(`no line with ${text}`);
    return [index + 1, lines[index].indexOf(part) + 1];
}

/// The page in a tab is a frame in a frame: the one that shows this.
async function frame_with(page, selector) {
    for (const frame of page.frames())
        if (await frame.locator(selector).first().isVisible().catch(() => false)) return frame;
    return undefined;
}

/// From a number to where it is defined, in this program and in another.
async function go_to_definitions(editor) {
    const lines = saved('spacer.nc').split('\n');
    const goes_to = async (text, part, name, target) => {
        await editor.open('spacer.nc');
        await editor.go_to_text('spacer.nc', text, part);
        await editor.press('F12');
        const [line, column] = target;
        await wait(`F12 on ${part} goes to line ${line} of ${name}`, () => editor.stands_at(name, line, column));
    };
    await goes_to('G71 P101', 'P101', 'spacer.nc', place('N101 G00', 'N101', lines));
    await goes_to('G70 P101', 'Q102', 'spacer.nc', place('N102 G01', 'N102', lines));
    await goes_to('IF [#101', '900', 'spacer.nc', place('N900 #3000', 'N900', lines));
    await goes_to('M98', 'P1502', 'groove.nc', place('O1502', 'O1502', saved('groove.nc').split('\n')));
}

/// Numbers with all their uses, and nothing else: 101 is the number of a block and of a variable.
async function rename_numbers(editor) {
    const groove = saved('groove.nc');
    let text = saved('spacer.nc');
    await editor.open('spacer.nc');
    await editor.go_to_text('spacer.nc', 'G70 P101', '101');
    expect((await editor.rename('201')) === '101', 'F2 on P101 offers 101 to be changed');
    text = text.replaceAll('P101', 'P201').replaceAll('N101', 'N201');
    await editor.wait_for_text('block 101 becomes 201 in G71, G70 and at its block, the variable stays', 'spacer.nc', text);

    await editor.go_to_text('spacer.nc', 'G70 P201', '201');
    await editor.rename('102');
    await wait('a number that is taken is refused, with the reason', () =>
        editor.page.locator('.notification-toast, .monaco-editor-overlaymessage',
            { hasText: '102 is used in this program already' }).first().isVisible());
    await editor.wait_for_text('and the text stays', 'spacer.nc', text);
    await editor.picture('rename-refused');
    await editor.command('Notifications: Clear All Notifications');

    await editor.go_to_text('spacer.nc', 'X#101 Z-2.', '101');
    await editor.rename('121');
    text = text.replaceAll('#101', '#121');
    await editor.wait_for_text('variable 101 becomes 121 wherever it stands', 'spacer.nc', text);

    await editor.go_to_text('spacer.nc', 'M98 P1502', '1502');
    await editor.rename('1602');
    await editor.wait_for_text('program 1502 becomes 1602 where it is called', 'spacer.nc', text.replace('P1502', 'P1602'));
    await editor.open('groove.nc');
    await editor.wait_for_text('and in its own file', 'groove.nc', groove.replace('O1502', 'O1602'));
    await editor.open('spacer.nc');
    await editor.go_to_text('spacer.nc', 'M98 P1602', 'P1602');
    await editor.press('F12');
    await wait('the call still goes to it', () => editor.stands_at('groove.nc', 2, 1));
}

/// What docs/shop-file.md says of [format], written out by hand.
const formatted = `%
O1503 (Typed by Hand - notes stay as they are)
N1 (T01 turn)
G54 G18 G97 G21 G80 G40 G99
T0101
G50 S2500
G97 S1100 M03
G00 X75. Z12.
G00 X52. Z1.
M08
G01 X-1. F.2
G00 X75. Z12.
G00 G53 X0. Z0.
M09
M05
M30
%
`;

/// The whole document, without rules of the shop and with them. `rules_count` waits until they do.
async function format_program(editor, rules_count) {
    const name = 'hand-typed.nc';
    const typed = saved(name);
    await editor.open(name);
    await editor.command('Format Document');
    await editor.wait_for_text('without rules formatting takes away the blanks at line ends', name, typed.replace(/ +$/gm, ''));
    await rules_count();
    await editor.open(name);
    await editor.command('Format Document');
    await editor.wait_for_text('with rules it writes the whole program by them', name, formatted);

    // What would be changed again would show as a change that is not saved, and as one more step to undo.
    await editor.command('Format Document');
    await editor.page.waitForTimeout(1500);
    expect((await editor.page.locator(`.tab.dirty[data-resource-name="${name}"]`).count()) === 0,
        'formatting what is formatted changes nothing');
    await editor.picture('formatted');
    await editor.go_to(place('G50 S2500', 'S', formatted.split('\n'))[0], 10);
    await editor.page.keyboard.type(' m8  ');
    await wait('a change shows as one that is not saved', async () =>
        (await editor.page.locator(`.tab.dirty[data-resource-name="${name}"]`).count()) > 0);
    await editor.command('Format Document');
    await editor.wait_for_text('and of one typed line only that is written anew', name,
        formatted.replace('G50 S2500', 'G50 S2500 M08'));
}

async function run(page) {
    const editor = new Editor(page);
    await page.goto(`${ADDRESS}/?folder=${WORK_DIR}`);
    await page.locator('.explorer-folders-view .monaco-list-row').first().waitFor({ timeout: 90000 });
    await editor.open('pump-shaft-faulty.nc');
    await wait('the program is known as Turning', () =>
        page.locator('#status\\.editor\\.mode', { hasText: 'Turning' }).isVisible());

    await editor.command('Problems: Focus on Problems View');
    // The list draws only the rows in sight; the status bar counts all: errors, warnings, notes.
    const counted = async () => (await page.locator('#status\\.problems').innerText()).match(/\d+/g).map(Number);
    await wait('at least 12 warnings are counted', async () => (await counted())[1] >= 12, 60);
    await wait('the problems list shows them', async () => (await editor.problems()).length > 5);
    const listed = await editor.problems();
    console.log(`      ${(await counted()).join(', ')} errors, warnings and notes`);
    expect(listed.some((row) => row.includes('X52 has no decimal point')), 'one of them says that X52 has no decimal point');
    await wait('sequences carry their tool and time above them', () =>
        page.locator('.codelens-decoration a', { hasText: /T0101.*(min|s)/ }).first().isVisible());
    await editor.picture('problems');

    await editor.command('View: Focus Active Editor Group');
    await editor.go_to(...place('G96 S180', 'G96'));
    await editor.command('Show or Focus Hover');
    const hover = page.locator('.monaco-hover:visible', { hasText: /surface speed/i }).first();
    await wait('hover on G96 says surface speed', () => hover.isVisible());
    expect(/rpm/.test(await hover.innerText().catch(() => '')), 'hover tells the speed in rpm');
    await editor.picture('hover');
    await editor.press('Escape');

    await wait('a rapid has another colour than a feed move', async () =>
        (await editor.colour('G00')) !== (await editor.colour('G01')));

    const [line, column] = place('G00 X52 Z1.', 'X52');
    await editor.go_to(line, column + 1);
    await editor.command('Quick Fix...');
    const fixes = page.locator('.action-widget .monaco-list-row');
    await wait('a quick fix is offered', () => fixes.first().isVisible());
    const offered = (await fixes.allInnerTexts()).map((text) => text.trim()).filter(Boolean);
    offered.forEach((title) => console.log(`      ${title}`));
    await editor.picture('fixes');
    expect(/Write X52\./.test(offered[1] || ''), 'the first of them writes X52.');
    await editor.press('Enter');
    await wait('the fix writes G00 X52. Z1.', async () => (await editor.line(line)) === 'G00 X52. Z1.');
    await wait('its warning goes', async () =>
        !(await editor.problems()).some((row) => row.includes('X52 has no decimal point')));

    await editor.command('Turnwright: What Changed for the Machine');
    await wait('what changed for the machine since saving is told', () =>
        page.locator('.monaco-editor .view-line', { hasText: 'saved file' }).first().isVisible());
    await editor.picture('compare');
    await editor.open('pump-shaft-faulty.nc');
    await page.locator('.codelens-decoration a', { hasText: 'T0101' }).first().click();
    await wait('a click above a sequence explains it', () =>
        page.locator('.monaco-editor .view-line', { hasText: 'It states all its modes' }).first().isVisible());
    await editor.picture('sequence');
    await page.locator('.tab[data-resource-name="pump-shaft-faulty.nc"]').first().click();

    await editor.command('Go to Symbol in Editor...');
    const symbols = page.locator('.quick-input-list .monaco-list-row');
    await wait('the outline has the sequences', async () => {
        const names = (await symbols.allInnerTexts()).join(' | ');
        return ['N1 T0101', 'N2 T0202', 'N3 T0303', 'N5 T0505', 'N8 T0909'].every((name) => names.includes(name));
    });
    await editor.picture('outline');
    await editor.press('Escape');

    await editor.command('Turnwright: Restart Table');
    await wait('the restart table opens in a tab', () =>
        page.locator('.monaco-editor .view-line', { hasText: 'T0303' }).first().isVisible());
    await editor.picture('restart-table');
    await editor.open('pump-shaft-faulty.nc');

    await editor.command('Turnwright: Picture of the Path');
    let picture;
    await wait('the picture opens beside the program', async () =>
        (picture = await frame_with(page, '#figure canvas')) !== undefined);
    await wait('it steps through the blocks', async () => /line \d+/.test(await picture.locator('#place').innerText()));
    await editor.picture('picture');
    const row = picture.locator('#program .row').nth(5);
    const wanted = await row.getAttribute('data-line');
    await row.dispatchEvent('click');
    await wait('a click on a line of the picture goes to its block', () =>
        page.locator('#status\\.editor\\.selection', { hasText: `Ln ${wanted},` }).isVisible());

    const drawn_line = async () => Number(/line (\d+)/.exec(await picture.locator('#place').innerText())[1]);
    const [moved] = place('G03 X45. Z-58.');
    await page.locator('.tab[data-resource-name="pump-shaft-faulty.nc"]').first().click();
    await editor.go_to(moved, 1);
    await wait('the cursor takes the picture to its block', async () => (await drawn_line()) === moved);
    const blocks_before = await picture.locator('#slider').getAttribute('max');
    await editor.press('Home');
    await page.keyboard.type('G01 Z-57.125');
    await editor.press('Escape'); // no list of words takes the next key
    await editor.press('Enter');
    const last_block = () => picture.locator('#slider').getAttribute('max').then(Number);
    await wait('an edit is drawn, in the same page', async () => (await last_block()) === Number(blocks_before) + 1);
    await editor.picture('picture-follows');
    await editor.go_to(moved, 1);
    await editor.press('Control+Shift+k'); // deletes the line
    await wait('and so is taking it back', async () => (await last_block()) === Number(blocks_before));

    await editor.command('Turnwright: Setup Sheet');
    await wait('the setup sheet opens', async () =>
        (await frame_with(page, 'h1:has-text("Setup sheet")')) !== undefined);
    await editor.picture('sheet');
    await editor.open('pump-shaft-faulty.nc');

    await editor.command('Turnwright: Renumber...');
    await editor.choose('Every block');
    for (const _ of ['start', 'step']) {
        await page.locator('.quick-input-widget input.input').waitFor();
        await editor.press('Enter');
        await page.waitForTimeout(300);
    }
    await wait('every block can be numbered', async () => /^N\d+0 ?G54/.test(await editor.line(place('G54 G18')[0])));
    await editor.press('Control+z');
    await wait('and that is one step to undo', async () => (await editor.line(place('G54 G18')[0])).startsWith('G54'));

    await editor.open('pump-shaft.nc');
    await wait('the rpm stands behind the speed as a hint', () =>
        page.locator('.monaco-editor .view-line', { hasText: /G96.S180.*rpm/ }).first().isVisible());
    await editor.picture('hints');
    await take_sequence(editor);
    await editor.open('pump-shaft-faulty.nc');

    const unsaid = async () => (await editor.problems()).some((row) => row.includes('units_missing'));
    expect(await unsaid(), 'missing units are warned of');
    fs.writeFileSync(path.join(WORK_DIR, 'turnwright.toml'), '[checks]\nunits_missing = "off"\n');
    await wait('a shop file written beside the program counts at once', async () => !(await unsaid()));
    fs.rmSync(path.join(WORK_DIR, 'turnwright.toml'));
    await wait('and no longer when it is gone', unsaid);

    await go_to_definitions(editor);
    await rename_numbers(editor);
    await format_program(editor, async () => {
        const warnings = (await counted())[1];
        fs.writeFileSync(path.join(WORK_DIR, 'turnwright.toml'), '[checks]\nunits_missing = "off"\n[format]\n' +
            'upper_case = true\nblanks_between_words = true\nleading_zeros = true\n');
        await wait('the shop file with the rules is read', async () => (await counted())[1] === warnings - 1);
    });
}

/// A whole sequence by its name, typed on the empty line in front of the last one.
async function take_sequence(editor) {
    const [last] = place('N9 (T09', 'N9', saved('pump-shaft.nc').split('\n'));
    await editor.go_to(last - 1, 1);
    await editor.page.keyboard.type('groo');
    const offered = editor.page.locator('.suggest-widget.visible .monaco-list-row.focused');
    await wait('a sequence is offered first by its name', async () => (await offered.innerText()).includes('grooving'));
    await editor.picture('sequence-offered');
    await editor.press('Enter');
    await wait('its lines are put in when it is taken', async () => /^N\d+ \(GROOVE\)/.test(await editor.line(last - 1)));
    await editor.picture('sequence-taken');
    await editor.press('Escape');
    await editor.command('File: Revert File');
}

(async () => {
    const browser = await chromium.launch({
        executablePath: process.env.CHROMIUM,
        args: ['--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage'],
    });
    const page = await browser.newPage({ viewport: { width: 1400, height: 900 } });
    page.setDefaultTimeout(20000);
    try {
        await run(page);
    } catch (problem) {
        page.frames().forEach((frame) => console.log(`      frame ${frame.name()} ${frame.url().slice(0, 90)}`));
        expect(false, problem.stack || String(problem));
        await page.screenshot({ path: path.join(PICTURES, 'vscode-failed.png') }).catch(() => {});
    }
    await browser.close();
    console.log(failures === 0 ? 'vscode: all met' : `vscode: ${failures} not met`);
    process.exitCode = failures === 0 ? 0 : 1;
})();
