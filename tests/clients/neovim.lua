-- Drives a real Neovim (0.7 or later) against the real server, with the settings that users are given.
-- Run by: nvim --headless -u NONE -c 'luafile tests/clients/neovim.lua'; environment: TURNWRIGHT, SOURCE_DIR, WORK_DIR.
-- Every expectation that fails is printed; the exit status says whether any did.

local source = vim.env.SOURCE_DIR
vim.g.turnwright_command = { vim.env.TURNWRIGHT, 'serve' }
vim.opt.swapfile = false
vim.opt.hidden = true

local failures = 0
local function expect(condition, what)
    if condition then
        io.stdout:write('ok    ' .. what .. '\n')
    else
        failures = failures + 1
        io.stdout:write('FAIL  ' .. what .. '\n')
    end
end
local function wait(what, condition)
    local met = vim.wait(10000, function()
        local ok, value = pcall(condition)
        return ok and value
    end, 5)
    expect(met, what)
    return met
end

-- Counts what the server publishes, so that "no warnings" is told apart from "nothing heard yet".
local published = 0
local publish = vim.lsp.handlers['textDocument/publishDiagnostics']
vim.lsp.handlers['textDocument/publishDiagnostics'] = function(...)
    published = published + 1
    return publish(...)
end

dofile(source .. '/editor-configs/neovim/turnwright.lua')

local function diagnostics() return vim.diagnostic.get(0) end
local function on_line(line, part)
    for _, d in ipairs(diagnostics()) do
        if d.lnum == line and (not part or d.message:find(part, 1, true)) then return d end
    end
end
local function find_line(text)
    for i, line in ipairs(vim.api.nvim_buf_get_lines(0, 0, -1, false)) do
        if line:find(text, 1, true) then return i - 1 end
    end
    error('no line with ' .. text)
end
local function set_line(line, text) vim.api.nvim_buf_set_lines(0, line, line + 1, false, { text }) end
local function request(method, params)
    local answers, problem = vim.lsp.buf_request_sync(0, method, params, 10000)
    if problem then return nil, problem end
    for _, answer in pairs(answers) do
        if answer.error then return nil, answer.error.message end
        return answer.result
    end
end
local function at(line, character)
    return { textDocument = { uri = vim.uri_from_bufnr(0) }, position = { line = line, character = character } }
end

local function run()
    local file = vim.env.WORK_DIR .. '/pump-shaft.nc'
    vim.cmd('edit ' .. vim.fn.fnameescape(file))
    expect(vim.bo.filetype == 'turning', 'a .nc file is a turning program')
    wait('the server publishes for the opened program', function() return published > 0 end)
    expect(#diagnostics() == 0, 'the clean example has no warning')
    for _, d in ipairs(diagnostics()) do
        io.stdout:write(('      %d:%d %s\n'):format(d.lnum + 1, d.col + 1, d.message))
    end

    -- A fault typed in is warned of on its line; mended, the warning goes away and does not stay behind.
    local line = find_line('G50 S2500')
    set_line(line, '')
    wait('G96 with its speed limit removed is warned of', function()
        return on_line(find_line('G96 S180'), 'G96')
    end)
    set_line(line, 'G50 S2500')
    wait('the warning goes when the limit is back', function() return #diagnostics() == 0 end)

    line = find_line('G01 X24. Z-2.')
    local whole = vim.api.nvim_buf_get_lines(0, line, line + 1, false)[1]
    set_line(line, 'G01 X24 Z-2. F0.12')
    wait('a forgotten decimal point is warned of', function() return on_line(line) end)
    local warned = on_line(line)
    expect(warned and warned.col == 4, 'the warning begins at the word X24')

    -- Letter by letter, as a person types.
    vim.api.nvim_win_set_cursor(0, { line + 1, 6 })
    vim.api.nvim_feedkeys(vim.api.nvim_replace_termcodes('a.<Esc>', true, false, true), 'tx', false)
    wait('typing the point ends the warning', function() return not on_line(line) end)
    expect(vim.api.nvim_buf_get_lines(0, line, line + 1, false)[1] == whole, 'the line is as it was')

    -- Hover on G96.
    line = find_line('G96 S180')
    local hover, problem = request('textDocument/hover', at(line, 1))
    local text = hover and (hover.contents.value or vim.inspect(hover.contents)) or ''
    expect(hover ~= nil, 'hover answers' .. (problem and (': ' .. problem) or ''))
    expect(text:find('G96', 1, true) ~= nil, 'hover on G96 speaks of G96')
    expect(text:lower():find('surface speed', 1, true) ~= nil, 'hover on G96 says surface speed')
    expect(text:find('rpm', 1, true) ~= nil, 'hover tells the speed in rpm')
    expect(text:find('T0101', 1, true) ~= nil or text:find('T01', 1, true) ~= nil, 'hover tells the tool in use')

    -- The outline: one program with its sequences, each with its tool.
    local symbols = request('textDocument/documentSymbol', { textDocument = { uri = vim.uri_from_bufnr(0) } }) or {}
    expect(#symbols == 1, 'the outline has one program')
    local program = symbols[1] or { children = {}, name = '' }
    expect(program.name:find('O1001', 1, true) ~= nil, 'the program is O1001')
    local names = {}
    for _, child in ipairs(program.children or {}) do table.insert(names, child.name) end
    local joined = table.concat(names, ' | ')
    for _, sequence in ipairs({ 'N1', 'N2', 'N3', 'N5', 'N7', 'N9' }) do
        expect(joined:find(sequence .. '%f[^%d]') ~= nil, 'the outline has ' .. sequence .. ' in ' .. joined)
    end
    expect(not joined:find('N101', 1, true), 'a contour block is no sequence')
    local third = (program.children or {})[3]
    expect(third and third.range.start.line == find_line('N3 (T03'), 'N3 begins at its line')

    -- Warnings have fixes that mend them.
    line = find_line('G00 X75. Z12.')
    whole = vim.api.nvim_buf_get_lines(0, line, line + 1, false)[1]
    set_line(line, 'G00 X75 Z12.')
    if wait('the point is missed again', function() return on_line(line) end) then
        local d = on_line(line)
        local actions = request('textDocument/codeAction', {
            textDocument = { uri = vim.uri_from_bufnr(0) },
            range = { start = { line = line, character = d.col }, ['end'] = { line = line, character = d.end_col } },
            context = { diagnostics = vim.lsp.diagnostic.get_line_diagnostics
                and vim.lsp.diagnostic.get_line_diagnostics(0, line) or {} },
        })
        local fix
        for _, action in ipairs(actions or {}) do
            if action.edit and action.kind == 'quickfix' then fix = fix or action end
        end
        expect(fix ~= nil, 'a quick fix is offered')
        if fix then
            io.stdout:write('      ' .. fix.title .. '\n')
            vim.lsp.util.apply_workspace_edit(fix.edit, 'utf-16')
            expect(vim.api.nvim_buf_get_lines(0, line, line + 1, false)[1] == whole, 'the fix writes ' .. whole)
            wait('the fixed program has no warning', function() return #diagnostics() == 0 end)
        end
    end

    -- A right program typed letter by letter: what is shown and goes by itself was never meant.
    local right = vim.fn.readfile(file)
    vim.cmd('edit ' .. vim.fn.fnameescape(vim.env.WORK_DIR .. '/typed.nc'))
    vim.wait(1000, function() return #vim.lsp.get_active_clients({ bufnr = 0 }) > 0 end, 5)
    local shown, gone = {}, {}
    local function look()
        local now = {}
        for _, d in ipairs(diagnostics()) do now[d.message] = true end
        for message in pairs(shown) do
            if not now[message] then table.insert(gone, message) end
        end
        shown = now
    end
    local function press(keys)
        vim.api.nvim_feedkeys(vim.api.nvim_replace_termcodes(keys, true, false, true), 'tx', false)
        vim.wait(12, function() look() return false end, 4)
    end
    for number = 1, 36 do
        if number > 1 then press('o<Esc>') end
        for letter in right[number]:gmatch('.') do press('A' .. letter .. '<Esc>') end
    end
    expect(table.concat(vim.api.nvim_buf_get_lines(0, 0, -1, false), '\n') == table.concat(right, '\n', 1, 36), 'all is typed')
    expect(#gone <= 5, 'at most 5 findings came and went while it was typed: ' .. table.concat(gone, ' | '))
    vim.cmd('silent write!')
    wait('saved, the missing end is told', function() return #diagnostics() > 0 end)
    press('oG01 X24 Z-90. F0.1<Esc>')
    press('oZ-91.<Esc>')
    wait('a fault is told soon after its line is left', function() return on_line(36, 'X24') end)

    -- The list of sequences tells their times; newer Neovim has a list of its own.
    vim.cmd('edit ' .. vim.fn.fnameescape(file))
    vim.wait(200, function() return false end)
    if vim.fn.has('nvim-0.11') == 0 then
        vim.lsp.buf.document_symbol()
        wait('the list of sequences has their times', function()
            for _, list in ipairs({ vim.fn.getqflist(), vim.fn.getloclist(0) }) do
                for _, entry in ipairs(list) do
                    if entry.text:find('N3', 1, true) and entry.text:find('%d s') then return true end
                end
            end
            return false
        end)
        vim.cmd('silent! cclose | silent! lclose')

        -- The only template that fits is written at once, with no list and no key to take it.
        expect(vim.o.completeopt:find('menuone', 1, true) ~= nil, 'a list of one is shown')
        vim.cmd('edit ' .. vim.fn.fnameescape(vim.env.WORK_DIR .. '/template.nc'))
        vim.wait(1000, function() return #vim.lsp.get_active_clients({ bufnr = 0 }) > 0 end, 5)
        vim.api.nvim_buf_set_lines(0, 0, -1, false, { 'O0007', 'G21 G99', '', '', 'M30' })
        vim.api.nvim_win_set_cursor(0, { 4, 0 })
        press('ifac<C-x><C-o>')
        wait('one template is written at once', function()
            return vim.api.nvim_buf_get_lines(0, 3, 4, false)[1]:find('(FACE)', 1, true) ~= nil
        end)
        local lines = vim.api.nvim_buf_get_lines(0, 0, -1, false)
        local last = #lines - 1
        while lines[last] == '' do last = last - 1 end
        expect(lines[#lines] == 'M30' and lines[last] == 'M01', 'nothing else is written: ' .. table.concat(lines, ' | '))
        vim.cmd('stopinsert')
        vim.bo.modified = false
    end

    -- The faulty example, opened beside it.
    local before = published
    vim.cmd('edit ' .. vim.fn.fnameescape(vim.env.WORK_DIR .. '/pump-shaft-faulty.nc'))
    wait('the second program is checked too', function() return published > before and #diagnostics() >= 12 end)
    io.stdout:write('      ' .. #diagnostics() .. ' warnings in the faulty example\n')

    -- Undo and redo over everything, then the same warnings as a fresh look at the same text gives.
    local count = #diagnostics()
    vim.cmd('normal! ggdG')
    wait('an emptied program keeps no old warning', function()
        for _, d in ipairs(diagnostics()) do
            if d.lnum > 0 then return false end
        end
        return true
    end)
    vim.cmd('silent undo')
    wait('undo brings the same warnings back', function() return #diagnostics() == count end)

    for _, client in pairs(vim.lsp.get_active_clients and vim.lsp.get_active_clients() or vim.lsp.get_clients()) do
        client.stop()
    end
    expect(vim.wait(5000, function()
        return #(vim.lsp.get_active_clients and vim.lsp.get_active_clients() or vim.lsp.get_clients()) == 0
    end, 10), 'the server stops when it is asked to')
end

local ok, problem = xpcall(run, debug.traceback)
if not ok then
    io.stdout:write('FAIL  ' .. problem .. '\n')
    failures = failures + 1
end
io.stdout:write(failures == 0 and 'neovim: all met\n' or ('neovim: ' .. failures .. ' not met\n'))
io.stdout:flush()
vim.cmd(failures == 0 and 'qall!' or 'cquit!')
