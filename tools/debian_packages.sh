# Installs the Debian packages that the laboratory and browser tests need, where that is possible; else says which are missing.
set -eu
packages="openvswitch-switch iproute2 linuxptp gstreamer1.0-tools gstreamer1.0-plugins-base gstreamer1.0-plugins-good chromium nodejs"

missing=
for package in $packages; do
	dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q 'install ok installed' || missing="$missing $package"
done
[ -n "$missing" ] || exit 0

if [ "$(id -u)" != 0 ] || ! command -v apt-get >/dev/null 2>&1; then
	echo "Not installed, so the laboratory and browser tests are skipped (they need root as well):$missing"
	exit 0
fi
echo "Installing Debian packages for the laboratory and browser tests:$missing"
export DEBIAN_FRONTEND=noninteractive
# shellcheck disable=SC2086 # one word a package
apt-get install -y -q $missing >/dev/null 2>&1 ||
	{ apt-get update -q >/dev/null 2>&1 || true; apt-get install -y -q $missing >/dev/null; } ||
	echo "Could not be installed, so the tests that need them are skipped:$missing"
