"""From an empty machine to one that can run the app: Python's own library only, for nothing else is there yet.

`manage.py` calls `prepare` first. For `up` and `test` it makes the virtual environment, installs the locked
packages and the system's libraries, and goes on inside that environment; every other command only moves there.
This file is read by whatever Python the machine has, so it keeps to what Python 3.6 can parse.
"""

import hashlib
import os
import shutil
import subprocess
import sys

BASE = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
VENV = os.path.join(BASE, ".venv")
LOCKS = {
    "app": os.path.join(BASE, "shopapp", "requirements.lock"),
    "tests": os.path.join(BASE, "shopapp", "tests.lock"),
}
DEMO_DATA = os.path.join(BASE, "data", "demo")
SHOP_DATA = os.path.join(BASE, "data", "shop")
OLDEST = (3, 11)
DEBIAN_PDF = ["libpango-1.0-0", "libpangoft2-1.0-0", "libharfbuzz-subset0"]
# Set when the environment has been seen to, so that the same work is not done twice.
DONE = "KERFSTEAD_BOOTSTRAPPED"


class Stop(Exception):
    """One sentence of what is wrong and how to mend it; ends the command with exit code 2."""


def prepare(argv):
    """See to the environment for the command in ``argv``; comes back inside it, with the data folder named."""
    try:
        _prepare(argv)
    except Stop as stop:
        sys.stderr.write(str(stop) + "\n")
        sys.exit(2)
    except KeyboardInterrupt:
        sys.stderr.write("Stopped half-way; the same command goes on from here.\n")
        sys.exit(130)


def _prepare(argv):
    command = argv[1] if len(argv) > 1 else ""
    check_python(sys.version_info)
    if os.environ.get("KERFSTEAD_NO_BOOTSTRAP"):
        return
    given = list(argv)
    shop = choose_data_folder(argv)
    if command == "up":
        # Before the minute of installing, not after it; only Python's own library is needed for this.
        from shopapp.supervise import check_port, read_options

        options = read_options(argv[2:])
        if not options.no_serve:
            check_port(options.host, options.port)
    if os.environ.get(DONE) != command:
        python = the_python()
        if command in ("up", "test"):
            lock = "tests" if command == "test" else "app"
            make_environment(python)
            install(python, lock)
            see_to_pdf_libraries(python)
        if os.path.realpath(python) != os.path.realpath(sys.executable) or python != sys.executable:
            if not os.path.exists(python):
                raise Stop("The app is not set up yet; run `python3 manage.py up` first.")
            os.environ[DONE] = command
            os.execv(python, [python, os.path.join(BASE, "manage.py")] + given[1:])
    make_data_folder(os.environ["KERFSTEAD_DATA"], starting=command == "up", shop=shop)
    if command == "up":
        from shopapp.supervise import up

        sys.exit(up(options))
    if command == "test":
        from shopapp.test_run import run

        sys.exit(run(argv[2:]))


def check_python(version):
    if tuple(version[:2]) < OLDEST:
        raise Stop(
            "Kerfstead needs Python %d.%d or newer and this is %d.%d: install a newer one and start with it."
            % (OLDEST + tuple(version[:2]))
        )


def choose_data_folder(argv):
    """Name the data folder in the environment, and say whether `--shop`, the maker's own shop, was asked for.

    A folder named there already stands, except for the tests, which never come near it.
    """
    shop = "--shop" in argv
    if shop:
        argv.remove("--shop")
    if argv[1:2] == ["test"]:
        folder = os.path.join(BASE, "data", "test")
    else:
        folder = os.environ.get("KERFSTEAD_DATA") or (SHOP_DATA if shop else DEMO_DATA)
    os.environ["KERFSTEAD_DATA"] = os.path.abspath(folder)
    return shop


def the_python():
    """The Python to run on: the one of a virtual environment we are in, if it can run the app, else our own's."""
    if os.environ.get("KERFSTEAD_NO_VENV"):
        return sys.executable
    if sys.prefix != sys.base_prefix and can_hold_the_app(sys.executable):
        return sys.executable
    return os.path.join(VENV, "Scripts" if os.name == "nt" else "bin", "python")


def can_hold_the_app(python):
    """Whether an environment has the Django the lock names, and a pip to bring the rest."""
    wanted = [line for line in open(LOCKS["app"]) if line.startswith("django==")][0].split("==")[1].split()[0]
    question = "import django, importlib.util as u; print(django.get_version(), u.find_spec('pip') is not None)"
    answer = subprocess.run([python, "-c", question], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    return answer.stdout.decode().split() == [wanted, "True"]


def make_environment(python):
    """Make .venv, or make it anew when it belongs to another Python or is half made."""
    if not python.startswith(VENV + os.sep) or environment_is_sound(python):
        return
    if not os.access(VENV if os.path.isdir(VENV) else BASE, os.W_OK):
        raise Stop(
            "This user cannot write in %s, where the app's packages go: start as the user the folder belongs to, or "
            "give this one the right to write there." % (VENV if os.path.isdir(VENV) else BASE)
        )
    say("Making the virtual environment in .venv")
    try:
        import ensurepip  # noqa: F401
        import venv  # noqa: F401
    except ImportError:
        raise Stop(
            "This Python has no venv module: on Debian or Ubuntu run `apt install python3-venv`, then start again."
        )
    answer = subprocess.run(
        [sys.executable, "-m", "venv", "--clear", VENV], stdout=subprocess.PIPE, stderr=subprocess.STDOUT
    )
    if answer.returncode:
        words = answer.stdout.decode(errors="replace")
        if "ensurepip" in words:
            raise Stop("venv cannot install pip here: on Debian or Ubuntu run `apt install python3-venv`, start again.")
        raise Stop(
            "The virtual environment could not be made in %s: %s. Mend that and start again."
            % (VENV, (words.splitlines() or ["venv gave no reason"])[-1])
        )


def environment_is_sound(python):
    config = os.path.join(VENV, "pyvenv.cfg")
    if not (os.path.exists(python) and os.path.exists(config)):
        return False
    versions = [line.split("=")[1].strip() for line in open(config) if line.startswith("version")]
    if not versions or not (versions[0] + ".").startswith("%d.%d." % tuple(sys.version_info[:2])):
        return False
    # Only a fresh copy of the environment is asked; a stamp says that it was sound after the last install.
    if os.path.exists(os.path.join(VENV, "kerfstead-app")):
        return True
    return succeeds([python, "-m", "pip", "--version"])


def install(python, lock):
    """Install a lock's packages, each checked by its hash; nothing to do when its stamp stands."""
    prefix = os.path.dirname(os.path.dirname(python))
    wanted = stamp_of(LOCKS[lock])
    if read(os.path.join(prefix, "kerfstead-" + lock)) == wanted:
        return
    say("Installing packages (%s); the first time takes a minute or two" % lock)
    answer = subprocess.run(
        [python, "-m", "pip", "install", "--disable-pip-version-check", "--no-input", "--quiet", "--require-hashes",
         "-r", LOCKS[lock]],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
    )  # fmt: skip
    if answer.returncode:
        words = answer.stdout.decode(errors="replace")
        raise Stop(why_pip_failed(words))
    write(os.path.join(prefix, "kerfstead-" + lock), wanted)
    if lock == "tests":
        # The tests' lock holds the app's too.
        write(os.path.join(prefix, "kerfstead-app"), stamp_of(LOCKS["app"]))


def why_pip_failed(words):
    """One sentence and the mend from what pip wrote."""
    away = ("NewConnectionError", "Temporary failure", "ConnectTimeout", "ReadTimeout", "ConnectionError",
            "Max retries", "ProxyError", "SSLError", "(from versions: none)")  # fmt: skip
    if "No space left" in words:
        return "The disk is full: the packages need about 600 MB; make room and start again."
    if "Permission denied" in words:
        return "This user cannot write where the packages go: start as the user the folder belongs to."
    if any(mark in words for mark in away):
        return "The packages could not be fetched: connect this machine to the network, then start again."
    if "HASHES" in words:
        return (
            "A package is not the one the lock names, so nothing was installed: a proxy or mirror may have changed it; "
            "start again on another network."
        )
    errors = [line for line in words.splitlines() if line.startswith("ERROR")]
    said = (errors or words.splitlines() or ["nothing"])[-1]
    return "The packages could not be installed: mend what pip says and start again. It said: %s" % said


def stamp_of(path):
    """What an install depends on: the lock's text and the Python it was made for."""
    with open(path, "rb") as file:
        return hashlib.sha256(file.read() + repr(sys.version_info[:2]).encode()).hexdigest()


def see_to_pdf_libraries(python):
    """The PDF engine's native libraries: installed as root on Debian, otherwise named; the app runs without."""
    prefix = os.path.dirname(os.path.dirname(python))
    stamp = os.path.join(prefix, "kerfstead-pdf")
    if read(stamp) == "seen":
        return
    if pdf_engine_loads(python):
        write(stamp, "seen")
        return
    if may_apt():
        say("Installing the PDF engine's libraries")
        apt_install(DEBIAN_PDF)
        if pdf_engine_loads(python):
            write(stamp, "seen")
            return
    say("Papers cannot be made yet, all else works. To mend it, run: %s" % pdf_command())


def pdf_engine_loads(python):
    return succeeds([python, "-c", "import weasyprint"])


def pdf_command():
    if shutil.which("apt-get"):
        return "sudo apt-get install --no-install-recommends " + " ".join(DEBIAN_PDF)
    if shutil.which("dnf"):
        return "sudo dnf install pango harfbuzz"
    if sys.platform == "darwin":
        return "brew install pango"
    return "your system's way to install Pango 1.44 or newer"


def succeeds(command):
    return subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL).returncode == 0


def may_apt():
    return hasattr(os, "geteuid") and os.geteuid() == 0 and shutil.which("apt-get") is not None


def apt_install(packages):
    """Install Debian packages as root; whether it worked."""
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    environment = dict(os.environ, DEBIAN_FRONTEND="noninteractive")
    command = ["apt-get", "install", "-y", "-qq", "--no-install-recommends"] + packages
    if subprocess.run(command, env=environment, **quiet).returncode == 0:
        return True
    subprocess.run(["apt-get", "update", "-qq"], env=environment, **quiet)
    answer = subprocess.run(command, env=environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    if answer.returncode:
        said = answer.stdout.decode(errors="replace").strip().splitlines() or ["nothing"]
        say("apt-get could not install %s; it said: %s" % (" ".join(packages), said[-1]))
    return answer.returncode == 0


def make_data_folder(path, starting=False, shop=False):
    """The data folder with its secret key, readable by its owner only.

    A demo is marked when it starts, never later: a folder that holds a shop does not become one.
    """
    mark, key = os.path.join(path, "demo"), os.path.join(path, "secret_key")
    try:
        os.makedirs(path, mode=0o700, exist_ok=True)
        if starting and shop and os.path.exists(mark):
            raise Stop(
                "%s holds the demo, so no shop is opened in it: name another folder with KERFSTEAD_DATA, or leave out "
                "--shop." % path
            )
        if starting and not shop and (path == DEMO_DATA or not os.path.exists(key)):
            write(mark, "Everything in this folder is invented.\n")
        make_secret_key(key)
        probe = os.path.join(path, ".probe")
        write(probe, "")
        os.remove(probe)
    except OSError as error:
        raise Stop(
            "The data folder %s cannot be written (%s): give this user the right to, or name another one with "
            "KERFSTEAD_DATA." % (path, error.strerror)
        )


def make_secret_key(path):
    """A new key where there is none; one that stands is never replaced, only an empty one left by a full disk."""
    import secrets

    if os.path.exists(path):
        if os.path.getsize(path):
            open(path).close()
            return
        os.remove(path)
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return
    with os.fdopen(handle, "w") as file:
        file.write(secrets.token_urlsafe(64))


def read(path):
    try:
        with open(path) as file:
            return file.read()
    except OSError:
        return ""


def write(path, text):
    with open(path, "w") as file:
        file.write(text)


def say(words):
    print(words, flush=True)
