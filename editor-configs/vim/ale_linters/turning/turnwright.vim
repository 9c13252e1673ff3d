" Turnwright as a language server for ALE.
call ale#Set('turning_turnwright_executable', 'turnwright')

function! ale_linters#turning#turnwright#FindRoot(buffer) abort
  let l:shop_file = ale#path#FindNearestFile(a:buffer, 'turnwright.toml')
  if !empty(l:shop_file) | return fnamemodify(l:shop_file, ':h') | endif
  let l:git = ale#path#FindNearestDirectory(a:buffer, '.git')
  return !empty(l:git) ? fnamemodify(l:git, ':h:h') : fnamemodify(bufname(a:buffer), ':p:h')
endfunction

call ale#linter#Define('turning', {
\   'name': 'turnwright',
\   'lsp': 'stdio',
\   'language': 'turning',
\   'executable': {b -> ale#Var(b, 'turning_turnwright_executable')},
\   'command': '%e serve',
\   'project_root': function('ale_linters#turning#turnwright#FindRoot'),
\})
