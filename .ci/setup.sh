#!/bin/sh
# Set up cliptag in a virtual environment of its own: sh .ci/setup.sh [FOLDER]
set -eu

venv=${1:-.venv}
python=${PYTHON:-python3}

say() { printf '%s\n' "$*" >&2; }

if ! "$python" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
    say "cliptag needs Python 3.11 or newer: install it, or name it: make PYTHON=python3.12 ..."
    exit 1
fi

# What Qt loads from the system and the Python images of Debian and Ubuntu lack, as file:package:
# for painting, for a window under X11 or Wayland, and for sound.
needed="libEGL.so.1:libegl1 libGL.so.1:libgl1 libxkbcommon.so.0:libxkbcommon0
    libdbus-1.so.3:libdbus-1-3 libfontconfig.so.1:libfontconfig1 libglib-2.0.so.0:libglib2.0-0
    libxcb-cursor.so.0:libxcb-cursor0 libxcb-icccm.so.4:libxcb-icccm4
    libxcb-image.so.0:libxcb-image0 libxcb-keysyms.so.1:libxcb-keysyms1
    libxcb-randr.so.0:libxcb-randr0 libxcb-render-util.so.0:libxcb-render-util0
    libxcb-shape.so.0:libxcb-shape0 libxcb-sync.so.1:libxcb-sync1
    libxcb-xfixes.so.0:libxcb-xfixes0 libxcb-xkb.so.1:libxcb-xkb1
    libxkbcommon-x11.so.0:libxkbcommon-x11-0 libX11-xcb.so.1:libx11-xcb1
    libwayland-client.so.0:libwayland-client0 libwayland-cursor.so.0:libwayland-cursor0
    libpulse.so.0:libpulse0 libXrandr.so.2:libxrandr2 libXext.so.6:libxext6"

missing() {
    for pair in $needed; do
        PATH="$PATH:/sbin:/usr/sbin" ldconfig -p | grep -q "${pair%%:*} " || echo "${pair##*:}"
    done
    "$python" -c 'import ensurepip, venv' 2>/dev/null || echo python3-venv
}

if command -v apt-get >/dev/null; then
    packages=$(missing | tr '\n' ' ')
    if [ -n "$packages" ]; then
        if [ "$(id -u)" = 0 ]; then
            say "Installing system libraries: $packages"
            apt-get update -qq
            DEBIAN_FRONTEND=noninteractive \
                apt-get install -y -qq --no-install-recommends $packages >/dev/null
        else
            say "Some system libraries are missing. Run this once, then try again:"
            say "  sudo apt-get install --no-install-recommends $packages"
            exit 1
        fi
    fi
fi

[ -x "$venv/bin/python" ] || "$python" -m venv "$venv"
say "Installing cliptag and what it needs into $venv"
"$venv/bin/python" -m pip install --quiet --disable-pip-version-check --upgrade "pip>=24"
"$venv/bin/python" -m pip install --quiet --disable-pip-version-check --editable .
