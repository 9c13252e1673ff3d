-- Turnwright in Neovim 0.7 and later: copy to ~/.config/nvim/plugin/ (or source it from your init.lua).
-- The program is looked for on PATH; set vim.g.turnwright_command = { '/path/turnwright', 'serve' } otherwise.

local group = vim.api.nvim_create_augroup('turnwright', { clear = true })

-- Which files are part programs: by ending, by a name such as O1234, or by a first line % or O-number.
vim.api.nvim_create_autocmd({ 'BufRead', 'BufNewFile' }, {
    group = group,
    callback = function(event)
        local name = vim.fn.fnamemodify(event.file, ':t')
        local ending = name:match('%.(%w+)$')
        local endings = { nc = true, cnc = true, tap = true, eia = true }
        local first = (vim.api.nvim_buf_get_lines(event.buf, 0, 1, false)[1] or ''):gsub('%s+$', '')
        local by_text = (vim.bo[event.buf].filetype == '' or vim.bo[event.buf].filetype == 'text')
            and (first == '%' or first:match('^%s*[Oo:]%d+$') or first:match('^%s*[Oo:]%d+%s*%('))
        if (ending and endings[ending:lower()]) or name:match('^[Oo]%d+$') or by_text then
            vim.bo[event.buf].filetype = 'turning'
        end
    end,
})

-- The keys that Neovim 0.11 has by itself, for older versions too.
local function set_keys(buffer)
    local function map(key, action)
        vim.keymap.set('n', key, action, { buffer = buffer, silent = true })
    end
    map('K', vim.lsp.buf.hover)
    map('gO', vim.lsp.buf.document_symbol)
    map('gd', vim.lsp.buf.definition)
    map('gra', vim.lsp.buf.code_action)
    map('grn', vim.lsp.buf.rename)
    map('grr', vim.lsp.buf.references)
    map('[d', vim.diagnostic.goto_prev)
    map(']d', vim.diagnostic.goto_next)
end

-- The folder of the nearest shop file or version control, else the program's own.
local function find_root(path)
    local folder = vim.fn.fnamemodify(path, ':p:h')
    local start = folder
    while true do
        for _, marker in ipairs({ 'turnwright.toml', '.git' }) do
            if vim.loop.fs_stat(folder .. '/' .. marker) then return folder end
        end
        local parent = vim.fn.fnamemodify(folder, ':h')
        if parent == folder then return start end
        folder = parent
    end
end

-- The popup of an explanation breaks its lines between words. Newer Neovim does not come here and does so by itself.
local function show_hover(...)
    local buffer, window = vim.lsp.handlers['textDocument/hover'](...)
    if window then vim.wo[window].linebreak = true end
    return buffer, window
end

-- Where the list of symbols shows no detail: the time of a sequence stands behind its name.
local function show_symbols(problem, symbols, ...)
    local function tell(list)
        for _, symbol in ipairs(list or {}) do
            if symbol.detail and symbol.detail ~= '' and symbol.selectionRange then
                symbol.name = symbol.name .. '  ' .. symbol.detail
                symbol.detail = nil
            end
            tell(symbol.children)
        end
    end
    tell(symbols)
    return vim.lsp.handlers['textDocument/documentSymbol'](problem, symbols, ...)
end

-- The lines of a template in the place of what was typed; the cursor behind them.
local function put_in(made, column)
    local row = vim.api.nvim_win_get_cursor(0)[1]
    if made.row ~= row then return end
    vim.api.nvim_buf_set_text(0, row - 1, made.begin, row - 1, column, made.lines)
    local last = row + #made.lines - 1
    local line = vim.api.nvim_buf_get_lines(0, last - 1, last, false)[1] or ''
    vim.api.nvim_win_set_cursor(0, { last, #line })
end

-- Ctrl-X Ctrl-O before Neovim 0.11, which by itself looks for a name in the text that is put in and breaks no lines: here a
-- template is found by its name, and its lines are put in when it is taken.
local offered = {}
function _G.turnwright_omnifunc(find_start, base)
    if find_start == 0 then return offered end
    local row, column = unpack(vim.api.nvim_win_get_cursor(0))
    local line = vim.api.nvim_get_current_line()
    local params = vim.lsp.util.make_position_params()
    local answers = vim.lsp.buf_request_sync(0, 'textDocument/completion', params, 2000) or {}
    local found, first = {}, column
    for _, answer in pairs(answers) do
        local items = answer.result and (answer.result.items or answer.result) or {}
        for _, item in ipairs(items) do
            local edit = item.textEdit or { newText = item.insertText or item.label }
            local place = edit.range or edit.insert
            local begin = place and vim.str_byteindex(line, place.start.character, true) or column
            local typed = line:sub(begin + 1, column):lower()
            if vim.startswith((item.filterText or item.label):lower(), typed) then
                table.insert(found, { item = item, text = edit.newText, begin = begin })
                first = math.min(first, begin)
            end
        end
    end
    table.sort(found, function(a, b) return (a.item.sortText or a.item.label) < (b.item.sortText or b.item.label) end)
    offered = {}
    for _, one in ipairs(found) do
        local lines = vim.split(one.text, '\n', { plain = true })
        table.insert(offered, {
            word = line:sub(first + 1, one.begin) .. (#lines > 1 and one.item.label or one.text),
            abbr = one.item.label, menu = one.item.detail or '', icase = 1, dup = 1,
            user_data = #lines > 1 and { turnwright = { lines = lines, row = row, begin = one.begin } } or nil,
        })
    end
    -- One template is meant: it needs no list and no key to be taken.
    local alone = #offered == 1 and offered[1].user_data and offered[1].user_data.turnwright
    if alone then
        offered = {}
        vim.schedule(function() put_in(alone, column) end)
        return -3
    end
    return first
end

vim.api.nvim_create_autocmd('CompleteDone', {
    group = group,
    callback = function()
        local data = vim.v.completed_item.user_data
        local made = type(data) == 'table' and data.turnwright
        if made then put_in(made, vim.api.nvim_win_get_cursor(0)[2]) end
    end,
})

local clients = {} -- by root; only for Neovim 0.7, which has no vim.lsp.start

local function start(buffer)
    local command = vim.g.turnwright_command or { 'turnwright', 'serve' }
    if vim.fn.executable(command[1]) == 0 then
        vim.notify_once('turnwright: ' .. command[1] .. ' is not on PATH; set vim.g.turnwright_command',
            vim.log.levels.WARN)
        return
    end
    local root = find_root(vim.api.nvim_buf_get_name(buffer))
    local config = {
        name = 'turnwright',
        cmd = command,
        root_dir = root,
        workspace_folders = { { uri = vim.uri_from_fname(root), name = vim.fn.fnamemodify(root, ':t') } },
        init_options = vim.g.turnwright_options,
        handlers = { ['textDocument/hover'] = show_hover, ['textDocument/documentSymbol'] = show_symbols },
        flags = { debounce_text_changes = 20 }, -- the server reads bursts of keys as one change
        on_attach = function(_, attached)
            set_keys(attached)
            -- A list of one is shown, too: without it Ctrl-Y is the character above.
            if not vim.o.completeopt:find('menuone', 1, true) then vim.opt_local.completeopt:append('menuone') end
            vim.bo[attached].omnifunc = vim.fn.has('nvim-0.11') == 1 and 'v:lua.vim.lsp.omnifunc'
                or 'v:lua.turnwright_omnifunc'
        end,
    }
    if vim.lsp.start then
        vim.lsp.start(config)
        return
    end
    local id = clients[root]
    if not id or not vim.lsp.get_client_by_id(id) then
        id = vim.lsp.start_client(config)
        clients[root] = id
    end
    if id then vim.lsp.buf_attach_client(buffer, id) end
end

vim.api.nvim_create_autocmd('FileType', {
    group = group,
    pattern = 'turning',
    callback = function(event) start(event.buf) end,
})
