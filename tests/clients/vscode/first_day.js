// The pictures of the first day in VS Code's engine, for docs/windows-first-day.md and the extension's own first steps. Run
// by ../../pictures.sh by way of ../vscode.sh.
'use strict';

const fs = require('fs');
const path = require('path');
const { ADDRESS, WORK_DIR, drive, frame_with, place, wait } = require('./editor');

async function run(page, editor) {
    const shot = async (name) => {
        await page.mouse.move(5, 5);
        await page.waitForTimeout(900);
        await page.screenshot({ path: path.join(process.env.PICTURES, `${name}.png`) });
    };
    await page.goto(`${ADDRESS}/?folder=${WORK_DIR}`);
    await page.locator('.explorer-folders-view .monaco-list-row').first().waitFor({ timeout: 90000 });
    // What belongs to this engine alone and to no editor that a reader has
    await page.addStyleTag({ content: '#status\\.forwardedPorts, .statusbar-item[id*="remote"] { display: none !important }' });

    await page.locator('.activitybar a[aria-label^="Extensions"]').first().click();
    await page.locator('.part.sidebar .composite.title').first().waitFor();
    await page.locator('.part.sidebar .title-actions a[aria-label*="Views and More Actions"]').first().click();
    await wait('the menu has Install from VSIX', () => page.locator('.monaco-menu .action-label', { hasText: 'Install from VSIX' }).first().isVisible());
    await shot('day-install');
    await editor.press('Escape');

    await editor.command('Turnwright: Show the First Steps');
    await wait('the first steps are shown', () => page.locator('.gettingStartedContainer img').first().isVisible());
    await shot('day-first-steps');
    await editor.command('View: Close Editor');
    await editor.press('Control+Shift+e');
    await page.locator('.explorer-folders-view .monaco-list-row').first().waitFor();

    await editor.open('pump-shaft-faulty.nc');
    await editor.command('Problems: Focus on Problems View');
    await wait('warnings are listed', async () => (await editor.problems()).length > 5, 60);
    await editor.command('View: Focus Active Editor Group');
    await editor.go_to(...place('G00 X52 Z1.', 'X52'));
    await wait('times stand above', () => page.locator('.codelens-decoration a', { hasText: /T0101/ }).first().isVisible());
    await shot('warnings');
    await editor.press('Control+j'); // The panel goes

    await editor.go_to(...place('G96 S180', 'G96'));
    await editor.command('Show or Focus Hover');
    await wait('the hover is shown', () => page.locator('.monaco-hover:visible', { hasText: /surface speed/i }).first().isVisible());
    await shot('hover');
    await editor.press('Escape');

    const [line, column] = place('G00 X52 Z1.', 'X52');
    await editor.go_to(line, column + 1);
    await editor.command('Quick Fix...');
    await wait('mends are offered', () => page.locator('.action-widget .monaco-list-row').first().isVisible());
    await shot('fixes');
    await editor.press('Escape');

    await editor.open('pump-shaft.nc');
    await editor.command('View: Close Other Editors in Group');
    const right = fs.readFileSync(path.join(WORK_DIR, 'pump-shaft.nc'), 'utf8').split(/\r?\n/);
    const cut = right.findIndex((text) => text.startsWith('G71 P101')) + 1;
    await editor.command('View: Toggle Primary Side Bar Visibility');
    await editor.command('Turnwright: Picture of the Path');
    let picture;
    await wait('the picture is there', async () => (picture = await frame_with(page, '#figure canvas')) !== undefined);
    await page.locator('.tab[data-resource-name="pump-shaft.nc"]').first().click();
    await editor.go_to(cut + 6, 1);
    await page.waitForTimeout(800);
    await shot('picture');
    await page.locator('.tab', { hasText: 'picture' }).first().click();
    await editor.command('View: Close Editor');
    await page.locator('.tab[data-resource-name="pump-shaft.nc"]').first().click();

    await editor.go_to(cut + 6, 1);
    await editor.command('View: Toggle Primary Side Bar Visibility');
    await page.locator('.activitybar a[aria-label="Turnwright"]').click();
    await wait('the sequences are listed', () => page.locator('.part.sidebar .monaco-list-row', { hasText: 'T0303' }).first().isVisible());
    await shot('sequences');
    await editor.command('View: Toggle Primary Side Bar Visibility');

    await editor.command('Turnwright: Setup Sheet');
    await wait('the sheet is there', async () => (await frame_with(page, 'h1:has-text("Setup sheet")')) !== undefined);
    await shot('sheet');
    await editor.command('View: Close Editor');

    await editor.command('View: Toggle Primary Side Bar Visibility');
    await editor.press('Control+Shift+e');
    await page.locator('.explorer-folders-view .monaco-list-row').first().waitFor();
    await editor.open('pump-shaft.nc');
    await editor.command('Turnwright: Learn the Shop File');
    await wait('a shop file is learnt', () => page.locator('.tab', { hasText: 'turnwright.toml' }).first().isVisible());
    await shot('day-shop');
}

drive(run);
