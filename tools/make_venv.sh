# Makes the virtual environment VENV with a Python of 3.11 or newer: sh tools/make_venv.sh VENV PYTHON
set -eu
venv=$1
wanted=$2

# A working environment of this folder stays; one that was moved or lost its Python is made anew.
if [ "$(cat "$venv/made-in" 2>/dev/null || true)" = "$(pwd -P)" ] && "$venv/bin/python" -m pip --version >/dev/null 2>&1; then
	exit 0
fi

python=
for candidate in "$wanted" python3.14 python3.13 python3.12 python3.11; do
	if "$candidate" -c 'import sys; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1; then
		python=$candidate
		break
	fi
done
if [ -z "$python" ]; then
	echo "No Python of 3.11 or newer is here ($wanted is $("$wanted" --version 2>&1 || true))." >&2
	echo "Install one, then name it: make PYTHON=/path/to/python3.12 demo" >&2
	exit 1
fi

# Debian keeps ensurepip, which a new environment needs, in a package of its own.
if ! "$python" -c 'import ensurepip' >/dev/null 2>&1; then
	package=python3-venv
	case ${python##*/} in python3.*) package=${python##*/}-venv ;; esac
	as_root=
	[ "$(id -u)" = 0 ] || as_root=sudo
	if ! command -v apt-get >/dev/null 2>&1 || { [ -n "$as_root" ] && ! command -v sudo >/dev/null 2>&1; }; then
		echo "$python cannot make an environment: ensurepip is missing. As root, type: apt-get install $package" >&2
		exit 1
	fi
	echo "Installing Debian's $package, which $python needs to make an environment."
	if ! $as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -q "$package" >/dev/null 2>&1; then
		$as_root apt-get update -q >/dev/null 2>&1 || true
		if ! $as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -q "$package" >/dev/null; then
			echo "That failed. As root, type: apt-get install $package" >&2
			exit 1
		fi
	fi
fi

rm -rf "$venv"
"$python" -m venv "$venv"
pwd -P >"$venv/made-in"
