# bash completion for clayquench
_clayquench() {
    local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD - 1]} words=
    COMPREPLY=()
    if [ "$COMP_CWORD" -eq 1 ]; then
        words="quench steel bath lay why report lesson kit compare map spread glow fold tune merge check explain list show --help --version"
    elif [ "$before" = -o ] || [ "$before" = --output ]; then
        local kind=-d
        case ${COMP_WORDS[1]} in report | lesson | kit | merge | glow) kind=-f ;; esac
        mapfile -t COMPREPLY < <(compgen "$kind" -- "$word")
        return
    elif [ "$before" = --units ]; then
        words="metric us"
    elif [ "$before" = --paper ]; then
        words="a4 letter"
    elif [ "$before" = --free ]; then
        words="bath-temperature pull-time sides"
    elif [ "$before" = --seen ]; then
        words="faint none cracked"
    elif [ "$before" = --structure ]; then
        words="normalised cycled spheroidised-fine spheroidised-coarse quenched"
    else
        case ${COMP_WORDS[1]} in
        quench) words="--json --output -o --units --quiet --advise --help $(_clayquench_names plan)" ;;
        steel) words="--batch --soak --hold --structure --json --output -o --units --help $(_clayquench_names steel)" ;;
        bath) words="--at --agitation --json --output -o --units --help $(_clayquench_names bath)" ;;
        report) words="--output -o --paper --help $(_clayquench_names plan)" ;;
        lesson | kit) words="--output -o --paper --help" ;;
        spread) words="--output -o --samples --seed --precision --threads --part --yes --json --csv --units --quiet --help $(_clayquench_names plan)" ;;
        lay) words="--line --within --edge --spine --free --step --thinnest --thickest --samples --seed --threads --json --output -o --units --quiet --help $(_clayquench_names plan)" ;;
        why) words="--seen --within --threads --json --output -o --units --quiet --help $(_clayquench_names plan)" ;;
        glow) words="--output -o --json --units --help" ;;
        fold) words="--thickness --carbon --heats --folds --layers --json --units --help" ;;
        compare | map) words="--vary --json --csv --output -o --units --threads --part --yes --quiet --help $(_clayquench_names plan)" ;;
        tune) words="--bath --noise --json --output -o --units --quiet --help $(_clayquench_names plan)" ;;
        merge) words="--output -o --help" ;;
        list) words="steel clay bath blade plan --help" ;;
        show | check) words="--help $(_clayquench_names)" ;;
        *) words="--help" ;;
        esac
    fi
    mapfile -t COMPREPLY < <(
        compgen -W "$words" -- "$word"
        case ${COMP_WORDS[1]} in tune | quench | report | compare | map | spread | lay | why | merge | check | show) [ "$COMP_CWORD" -gt 1 ] && compgen -f -- "$word" ;; esac
    )
}
_clayquench_names() {
    clayquench list "$@" 2>/dev/null | awk '{ print $2 }'
}
complete -o filenames -F _clayquench clayquench
