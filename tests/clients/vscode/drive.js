// Drives the extension in VS Code's engine against the real server, as a person would. Run by ../vscode.sh.
'use strict';

const fs = require('fs');
const path = require('path');
const { ADDRESS, WORK_DIR, drive, expect, frame_with, place, saved, wait } = require('./editor');

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

async function run(page, editor) {
    await page.goto(`${ADDRESS}/?folder=${WORK_DIR}`);
    await page.locator('.explorer-folders-view .monaco-list-row').first().waitFor({ timeout: 180000 });
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
    await wait('a click above a sequence explains it', () => editor.shows(/It states all its modes/));
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

    await beside_the_text(page, editor);
    await editor.open('pump-shaft-faulty.nc');

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
    await files(page, editor);
    await keys(page, editor);
    await settings(page, editor);
    await format_program(editor, async () => {
        const warnings = (await counted())[1];
        fs.writeFileSync(path.join(WORK_DIR, 'turnwright.toml'), '[checks]\nunits_missing = "off"\n[format]\n' +
            'upper_case = true\nblanks_between_words = true\nleading_zeros = true\n');
        await wait('the shop file with the rules is read', async () => (await counted())[1] === warnings - 1);
    });
}

/// The bar below, the list of sequences, the buttons above the text.
async function beside_the_text(page, editor) {
    const bar = (text) => page.locator('.statusbar-item', { hasText: text });
    const [line] = place('X-1.6', 'X');
    await editor.go_to(line, 1);
    await wait('the bar tells the tool at the cursor', () => bar(/^\s*T01\s*$/).first().isVisible());
    await wait('the rpm', () => bar(/\d+ rpm/).first().isVisible());
    await wait('the feed', () => bar(/0\.2 mm\/rev/).first().isVisible());
    await wait('and the units, which are not stated here but assumed', () => bar('mm (assumed)').first().isVisible());
    await page.locator('.activitybar a[aria-label="Turnwright"]').click();
    const rows = page.locator('.part.sidebar .pane-body .monaco-list-row', { hasText: /T0\d0\d/ });
    await wait('the list at the side has every sequence with its time', async () => {
        const texts = await rows.allInnerTexts();
        return ['N1 T0101', 'N2 T0202', 'N3 T0303', 'N5 T0505', 'N8 T0909'].every((name) => texts.some((text) => text.includes(name))) &&
            texts.every((text) => /\d (min|s)|not known|no time/.test(text));
    });
    (await rows.allInnerTexts()).forEach((text) => console.log(`      ${text.replace(/\s+/g, ' ').trim()}`));
    await editor.picture('sequences');
    await rows.filter({ hasText: 'N3 T0303' }).first().click();
    await wait('a click in it goes to the sequence', () => editor.stands_at('pump-shaft-faulty.nc', place('N3 (', 'N3')[0], 1));
    await editor.go_to(place('T0303')[0], 1);
    await wait('and the bar follows the cursor', () => bar(/^\s*T03\s*$/).first().isVisible());
    for (const title of ['Picture of the Path and the Stock', 'Setup Sheet', 'What Changed for the Machine since Saving'])
        expect(await page.locator(`.editor-actions a[aria-label^="Turnwright: ${title}"], .editor-actions a[aria-label^="${title}"]`).first().isVisible(),
            `a button above the text: ${title}`);
    await page.locator('.editor-actions [aria-label="Turnwright"], .editor-actions [aria-label^="Turnwright..."]').first().click();
    await wait('and the rest in a menu', () => page.locator('.monaco-menu .action-label', { hasText: 'Restart Table' }).first().isVisible());
    await editor.press('Escape');
    await editor.press('Control+Shift+e');
    await page.locator('.explorer-folders-view .monaco-list-row').first().waitFor();
}

/// Another program to compare with, and a new one.
async function files(page, editor) {
    await editor.open('pump-shaft-faulty.nc');
    await editor.command('Turnwright: Compare with Another Program');
    const input = page.locator('.quick-input-widget input.input');
    await input.waitFor();
    await input.fill(path.join(WORK_DIR, 'pump-shaft.nc'));
    await page.waitForTimeout(500);
    await editor.press('Enter');
    await wait('another program is compared with, drawn', async () =>
        (await frame_with(page, 'text=pump-shaft.nc')) !== undefined);
    await editor.picture('compared');

    await editor.open('pump-shaft-faulty.nc');
    await editor.command('Turnwright: New Program');
    await input.waitFor();
    await input.fill('4321');
    await editor.press('Enter');
    await page.locator('.tab.active[data-resource-name="O4321.nc"]').waitFor();
    const offered = page.locator('.suggest-widget.visible .monaco-list-row');
    await wait('a new program begins with what the shop begins with', async () =>
        (await offered.allInnerTexts()).some((text) => text.includes('new program')));
    await editor.picture('new-program');
    await editor.press('Enter');
    await wait('its number is the one that was asked for', () =>
        page.locator('.monaco-editor .view-line', { hasText: 'O4321' }).first().isVisible());
    await editor.press('Escape');
    await editor.command('View: Revert and Close Editor');
    fs.rmSync(path.join(WORK_DIR, 'O4321.nc'));
}

/// Keys of the extension: they work, and no other command of the editor has them.
async function keys(page, editor) {
    await editor.open('pump-shaft.nc');
    await editor.go_to(place('T0303', 'T0303', saved('pump-shaft.nc').split('\n'))[0], 1);
    await editor.press('Control+k');
    await editor.press('3');
    await wait('Ctrl+K 3 explains the sequence', () => editor.shows(/N3 T0303 \(T03 FINISH TURN\):.* It states all its modes/));
    await editor.command('View: Join All Editor Groups');
    await editor.open('pump-shaft.nc');
    await editor.command('Preferences: Open Default Keyboard Shortcuts (JSON)');
    await page.locator('.tab.active', { hasText: 'keybindings' }).waitFor();
    let rows = [];
    await wait('the keys of the editor are read', async () => {
        await page.locator('.monaco-editor .view-line').last().click();
        await editor.press('Control+a');
        await editor.press('Control+c');
        await page.waitForTimeout(500);
        const text = await page.evaluate(() => navigator.clipboard.readText());
        rows = [...text.matchAll(/"key":\s*"([^"]+)",\s*"command":\s*"([^"]+)"/g)].map(([, key, command]) => [key, command]);
        return rows.length > 400;
    });
    const ours = rows.filter(([, command]) => command.startsWith('turnwright.'));
    expect(ours.length > 3, `${ours.length} of ${rows.length} keys are ours`);
    const clashing = ours.flatMap(([key]) => rows.filter(([other, command]) => !command.startsWith('turnwright.') &&
        (other === key || other.startsWith(`${key} `) || key === `${other} `)));
    expect(clashing.length === 0, `no key of ours is another command's ${clashing.join(' ')}`);
    await editor.command('View: Close Editor');
}

/// Endings of the shop, steps for a beginner, and a program that is not there.
async function settings(page, editor) {
    const before = fs.readFileSync(process.env.SETTINGS, 'utf8');
    // As a person does it, in the editor's own file of settings
    const write = async (text) => {
        await editor.command('Preferences: Open User Settings (JSON)');
        await page.locator('.tab.active[data-resource-name="settings.json"]').waitFor();
        await page.locator('.monaco-editor .view-line').first().click();
        await page.evaluate((pasted) => navigator.clipboard.writeText(pasted), text);
        await editor.press('Control+a');
        await editor.press('Control+v');
        await editor.press('Control+s');
        await wait('the settings are written', async () => fs.readFileSync(process.env.SETTINGS, 'utf8') === text);
        await editor.command('View: Close Editor');
    };
    const set = (name, value) => write(JSON.stringify({ ...JSON.parse(before), [name]: value }));
    fs.writeFileSync(path.join(WORK_DIR, 'old.ptp'), 'G21\nG01 X10\n');
    await set('turnwright.endings', ['ptp']);
    await wait('a file with an ending of the setting is a program', async () => {
        await editor.open('old.ptp');
        return page.locator('#status\\.editor\\.mode', { hasText: 'Turning' }).isVisible();
    });
    await write(before);

    await editor.command('Turnwright: Show the First Steps');
    await wait('the first steps are shown', () => page.locator('.gettingStartedContainer', { hasText: 'First steps with Turnwright' }).first().isVisible());
    await wait('with a picture', () => page.locator('.gettingStartedContainer img').first().isVisible());
    await editor.picture('first-steps');
    await editor.command('View: Close Editor');

    const right = fs.readFileSync(process.env.MACHINE_SETTINGS, 'utf8');
    fs.writeFileSync(process.env.MACHINE_SETTINGS, JSON.stringify({ 'turnwright.program': '/nowhere/turnwright' }));
    const told = page.locator('.notification-toast', { hasText: 'could not be started' });
    await wait('a program that is not there is told, with what to do', async () =>
        /Open the setting/.test(await told.first().innerText()));
    await editor.picture('not-started');
    fs.writeFileSync(process.env.MACHINE_SETTINGS, right);
    await editor.command('Notifications: Clear All Notifications');
    await editor.open('pump-shaft-faulty.nc');
    await wait('and with the right one the server is there again', () =>
        page.locator('.codelens-decoration a', { hasText: /T0101.*(min|s)/ }).first().isVisible());
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

drive(run);
