" Colours for CNC lathe part programs. A block is one line, so nothing spans lines.
if exists('b:current_syntax') | finish | endif
syntax case ignore

syntax match turningNumber   /[-+]\?\(\d\+\.\?\d*\|\.\d\+\)/ contained
syntax match turningAxis     /[XZYUWVCHIJKRABEDQLP]\s*[-+]\?\(\d\+\.\?\d*\|\.\d\+\)/
syntax match turningSpeed    /[SF]\s*[-+]\?\(\d\+\.\?\d*\|\.\d\+\)/
syntax match turningTool     /T\s*\d\+/
syntax match turningCode     /G\s*\d\+\(\.\d\+\)\?/
syntax match turningRapid    /G\s*0\{1,2\}\(\d\|\.\)\@!/
syntax match turningMisc     /M\s*\d\+/
syntax match turningSequence /^\s*\/\?\s*N\s*\d\+/
syntax match turningProgram  /^\s*[O:]\s*\d\+/
syntax match turningTape     /%/
syntax match turningDeleted  /^\s*\/[1-9]\?/
syntax match turningVariable /#\(\d\+\|<[^>]*>\)\?/
syntax keyword turningFlow   IF THEN GOTO WHILE DO END
syntax match turningFlow     /\(DO\|END\|GOTO\)\s*\d\+/
syntax match turningOperator /\[\|\]\|=\|\<\(EQ\|NE\|GT\|GE\|LT\|LE\|AND\|OR\|XOR\|MOD\)\>/
syntax keyword turningFunction SIN COS TAN ATAN ASIN ACOS SQRT ABS ROUND FIX FUP LN EXP BIN BCD
syntax match turningNote     /([^)]*)/
syntax match turningUnclosed /([^)]*$/

highlight default link turningNumber   Number
highlight default link turningAxis     Number
highlight default link turningSpeed    Constant
highlight default link turningTool     Identifier
highlight default link turningCode     Statement
highlight default link turningRapid    Special
highlight default link turningMisc     PreProc
highlight default link turningSequence Label
highlight default link turningProgram  Title
highlight default link turningTape     Delimiter
highlight default link turningDeleted  Todo
highlight default link turningVariable Identifier
highlight default link turningFlow     Conditional
highlight default link turningOperator Operator
highlight default link turningFunction Function
highlight default link turningNote     Comment
highlight default link turningUnclosed Error
let b:current_syntax = 'turning'
