# Completion of the command `damper` for bash.

_damper() {
    local current=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD - 1]}
    local verb=${COMP_WORDS[1]} words=''
    if [[ $COMP_CWORD -eq 1 ]]; then
        mapfile -t COMPREPLY < <(compgen -W 'run show loop report --help --version' -- "$current")
        return
    fi
    case $before in
        --solver) words='auto general' ;;
        --format)
            words='text json'
            [[ $verb == loop ]] && words='text json csv'
            ;;
        --models)
            mapfile -t COMPREPLY < <(compgen -d -- "$current")
            return
            ;;
        -o | --out)
            if [[ $verb == report ]]; then
                mapfile -t COMPREPLY < <(compgen -f -- "$current")
            else
                mapfile -t COMPREPLY < <(compgen -d -- "$current")
            fi
            return
            ;;
        --set | --tolerance) return ;;
    esac
    if [[ -z $words && $current == -* ]]; then
        case $verb in
            run)
                words='--help --out --set --models --solver --tolerance --format --quiet --no-report'
                ;;
            show) words='--help --set --models --format' ;;
            loop) words='--help --out --set --models --format --quiet' ;;
            report) words='--help --out --quiet' ;;
        esac
    fi
    if [[ -n $words ]]; then
        mapfile -t COMPREPLY < <(compgen -W "$words" -- "$current")
        return
    fi
    local ending=toml
    [[ $verb == report ]] && ending=h5
    mapfile -t COMPREPLY < <(compgen -f -X "!*.$ending" -- "$current"; compgen -d -S / -- "$current")
    compopt -o nospace -o filenames 2>/dev/null
}
complete -F _damper damper
