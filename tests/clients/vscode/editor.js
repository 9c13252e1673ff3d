// VS Code's engine in a headless browser, as a person uses it: keys and clicks. Environment: ADDRESS, WORK_DIR, PICTURES,
// CHROMIUM, MODULES.
'use strict';

const fs = require('fs');
const path = require('path');
const { chromium } = require(path.join(process.env.MODULES, 'playwright-core'));

const { ADDRESS, WORK_DIR, PICTURES } = process.env;
/// How much longer than alone a step may take: more on a machine that does other work.
const patience = Number(process.env.PATIENCE || 1);
let failures = 0;
function expect(condition, what) {
    console.log(`${condition ? 'ok   ' : 'FAIL '} ${what}`);
    if (!condition) failures += 1;
}
async function wait(what, condition, seconds = 20) {
    const end = Date.now() + seconds * 1000 * patience;
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
    /// Runs a command by its name in the palette, which knows those that an extension had brought when it opened.
    async command(title) {
        const input = this.page.locator('.quick-input-widget input.input');
        const row = this.page.locator('.quick-input-list .monaco-list-row', { hasText: title }).first();
        for (let times = 0; times < 8; times += 1) {
            await this.press('F1');
            // A page in front may keep the first key to itself.
            const filled = await input.fill(`>${title}`, { timeout: 2000 * patience }).then(() => true, () => false);
            if (filled && (await row.waitFor({ timeout: 4000 * patience }).then(() => true, () => false))) break;
            await this.press('Escape');
        }
        await row.waitFor();
        await this.press('Enter');
    }
    async choose(text) {
        const row = this.page.locator('.quick-input-list .monaco-list-row', { hasText: text }).first();
        await row.waitFor();
        await row.click();
    }
    async open(name) {
        // What stands beside has the keys, once it was opened: from there a program would be opened a second time.
        if ((await this.page.locator('.editor-group-container').count()) > 1) await this.command('View: Focus First Editor Group');
        const row = this.page.locator('.explorer-folders-view .monaco-list-row', { hasText: name }).first();
        const tab = this.page.locator(`.tab.active[data-resource-name="${name}"]`);
        // The list draws its rows anew when a file comes or goes: a click can land on the wrong one.
        for (let times = 0; times < 3 && (times === 0 || !(await tab.isVisible())); times += 1) {
            await row.dblclick();
            await tab.waitFor({ timeout: 7000 * patience }).catch(() => {});
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
    /// Whether a text in the window has these words, whatever lines it is broken into.
    async shows(words) {
        const texts = await this.page.locator('.monaco-editor .view-lines').evaluateAll((views) => views.map((view) =>
            [...view.querySelectorAll('.view-line')].sort((a, b) => parseFloat(a.style.top) - parseFloat(b.style.top))
                .map((line) => line.textContent).join(' ').replace(/\s+/g, ' ')));
        return texts.some((text) => words.test(text));
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

/// Opens the window and runs `what(page, editor)` in it; every expectation that fails is printed, the exit status says
/// whether any did.
async function drive(what) {
    const browser = await chromium.launch({
        executablePath: process.env.CHROMIUM,
        args: ['--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage'],
    });
    const context = await browser.newContext({
        viewport: { width: Number(process.env.WIDTH || 1400), height: Number(process.env.HEIGHT || 900) },
        permissions: ['clipboard-read', 'clipboard-write'],
    });
    const page = await context.newPage();
    page.setDefaultTimeout(20000 * patience);
    try {
        await what(page, new Editor(page));
    } catch (problem) {
        page.frames().forEach((frame) => console.log(`      frame ${frame.name()} ${frame.url().slice(0, 90)}`));
        expect(false, problem.stack || String(problem));
        await page.screenshot({ path: path.join(PICTURES, 'vscode-failed.png') }).catch(() => {});
    }
    await browser.close();
    console.log(failures === 0 ? 'vscode: all met' : `vscode: ${failures} not met`);
    process.exitCode = failures === 0 ? 0 : 1;
}

module.exports = { ADDRESS, PICTURES, WORK_DIR, drive, expect, frame_with, place, program, saved, wait };
