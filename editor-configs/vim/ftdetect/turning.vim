" Part programs: by ending, by a name such as O1234, or by a first line that is % or a program number.
augroup turning_detect
  autocmd!
  autocmd BufNewFile,BufRead *.nc,*.NC,*.cnc,*.CNC,*.tap,*.TAP,*.eia,*.EIA set filetype=turning
  autocmd BufNewFile,BufRead O[0-9]\\\{1,8\},o[0-9]\\\{1,8\} set filetype=turning
  autocmd BufNewFile,BufRead * if (&filetype ==# '' || &filetype ==# 'text') && getline(1) =~? '^\s*\(%\|[O:]\d\+\)\s*\((.*\)\?$' | set filetype=turning | endif
augroup END
