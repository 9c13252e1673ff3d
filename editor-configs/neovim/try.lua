-- The settings try.sh starts Neovim with: this folder's plugin, colours, and a line of help. Nothing of your own
-- Neovim set-up is read or changed.
local here = vim.fn.fnamemodify(vim.fn.resolve(debug.getinfo(1, 'S').source:sub(2)), ':p:h')
vim.opt.runtimepath:prepend(vim.fn.fnamemodify(here, ':h') .. '/vim')
vim.g.turnwright_command = { vim.env.TURNWRIGHT, 'serve' }
vim.opt.number = true
vim.opt.signcolumn = 'yes'
vim.opt.updatetime = 300
vim.opt.swapfile = false
vim.opt.mouse = 'a'
vim.opt.completeopt = { 'menu', 'menuone', 'noselect' } -- without a pane that takes half the window
vim.opt.laststatus = 2
vim.opt.statusline = ' %f   K explain   gO outline   ]d next warning   gl whole warning   gra fix   :qa! leave'
vim.cmd('syntax on')
vim.diagnostic.config({ virtual_text = true, signs = true, update_in_insert = true, severity_sort = true })
vim.keymap.set('n', 'gl', vim.diagnostic.open_float)
dofile(here .. '/turnwright.lua')
