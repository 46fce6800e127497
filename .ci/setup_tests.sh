#!/bin/sh
# Add what the tests need: sh .ci/setup_tests.sh [FOLDER]
# Chromium, Node.js and a screen without a monitor are used where they are; as root on Debian or Ubuntu they are installed.
set -eu

venv=${1:-.venv}

"$venv/bin/python" -m pip install --quiet --disable-pip-version-check --editable '.[test]'

wanted() {
    command -v chromium >/dev/null || echo chromium
    command -v node >/dev/null || echo nodejs
    command -v npm >/dev/null || echo npm
    command -v Xvfb >/dev/null || echo xvfb
    command -v xdotool >/dev/null || echo xdotool
    command -v espeak-ng >/dev/null || echo espeak-ng
    command -v pulseaudio >/dev/null || echo pulseaudio
    command -v pactl >/dev/null || echo pulseaudio-utils
}

missing=$(wanted | tr '\n' ' ')
if [ -n "$missing" ] && [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
    apt-get update -qq
    for program in $missing; do
        DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "$program" \
            >/dev/null || printf '%s\n' "No $program here: the tests that need it are skipped." >&2
    done
fi
