# Part programs in Kakoune: file type and colours. Source it from ~/.config/kak/kakrc.

hook global BufCreate .*\.(nc|NC|cnc|CNC|tap|TAP|eia|EIA) %{ set-option buffer filetype turning }
hook global BufCreate (.*/)?[Oo][0-9]+ %{ set-option buffer filetype turning }

hook global WinSetOption filetype=turning %{
    require-module turning
    set-option buffer comment_block_begin '('
    set-option buffer comment_block_end ')'
    # What `:lint` runs. Kakoune hands it a copy, so the shop file is looked for from where the program lies.
    set-option buffer lintcmd %{ turnwright_check() {
        folder=$kak_buffile
        shop=
        while [ -z "$shop" ] && [ "$folder" != / ]; do
            folder=$(dirname "$folder")
            if [ -f "$folder/turnwright.toml" ]; then shop=$folder/turnwright.toml; fi
        done
        turnwright check ${shop:+--shop "$shop"} "$1" | grep -v '^ ' # the indented lines name other places
    }; turnwright_check }
    add-highlighter window/turning ref turning
    hook -once -always window WinSetOption filetype=.* %{ remove-highlighter window/turning }
}

provide-module turning %{
    add-highlighter shared/turning regions
    add-highlighter shared/turning/block default-region group
    add-highlighter shared/turning/note region '\(' '\)|$' fill comment
    add-highlighter shared/turning/block/ regex '(?i)[SF]\h*[-+]?(\d+\.?\d*|\.\d+)' 0:string
    add-highlighter shared/turning/block/ regex '(?i)[A-EH-LP-RU-Z]\h*[-+]?(\d+\.?\d*|\.\d+)' 0:value
    add-highlighter shared/turning/block/ regex '(?i)G\h*\d+(\.\d+)?' 0:keyword
    add-highlighter shared/turning/block/ regex '(?i)M\h*\d+' 0:builtin
    add-highlighter shared/turning/block/ regex '(?i)T\h*\d+' 0:type
    add-highlighter shared/turning/block/ regex '(?i)^\h*/?\h*N\h*\d+' 0:attribute
    add-highlighter shared/turning/block/ regex '(?i)^\h*[O:]\h*\d+' 0:function
    add-highlighter shared/turning/block/ regex '#\d*' 0:variable
    add-highlighter shared/turning/block/ regex '(?i)\b(IF|THEN|WHILE)\b|\b(GOTO|DO|END)\h*\d*' 0:keyword
}
