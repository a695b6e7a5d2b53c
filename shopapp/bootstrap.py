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


def _prepare(argv):
    command = argv[1] if len(argv) > 1 else ""
    check_python(sys.version_info)
    if os.environ.get("KERFSTEAD_NO_BOOTSTRAP"):
        return
    if command == "test":
        os.environ.setdefault("KERFSTEAD_DATA", os.path.join(BASE, "data", "test"))
    choose_data_folder(argv)
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
            os.execv(python, [python, os.path.join(BASE, "manage.py")] + argv[1:])
    make_data_folder(os.environ["KERFSTEAD_DATA"])
    if command == "up":
        from shopapp.supervise import up

        sys.exit(up(argv[2:]))
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
    """`--shop` anywhere means the maker's own shop; a folder named in the environment stands above both."""
    shop = "--shop" in argv
    if shop:
        argv.remove("--shop")
    if not os.environ.get("KERFSTEAD_DATA"):
        os.environ["KERFSTEAD_DATA"] = os.path.join(BASE, "data", "shop" if shop else "demo")


def the_python():
    """The Python to run on: the one of a virtual environment we are in, if it can run the app, else our own's."""
    if os.environ.get("KERFSTEAD_NO_VENV"):
        return sys.executable
    if sys.prefix != sys.base_prefix and has_django(sys.executable):
        return sys.executable
    return os.path.join(VENV, "Scripts" if os.name == "nt" else "bin", "python")


def has_django(python):
    """Whether the Django there is the one the lock names."""
    wanted = [line for line in open(LOCKS["app"]) if line.startswith("django==")][0].split("==")[1].split()[0]
    answer = subprocess.run(
        [python, "-c", "import django; print(django.get_version())"], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
    )
    return answer.stdout.decode().strip() == wanted


def make_environment(python):
    """Make .venv, or make it anew when it belongs to another Python or is half made."""
    if not python.startswith(VENV + os.sep) or environment_is_sound(python):
        return
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
        raise Stop("The virtual environment could not be made in %s: %s" % (VENV, (words.splitlines() or [""])[-1]))


def environment_is_sound(python):
    config = os.path.join(VENV, "pyvenv.cfg")
    if not (os.path.exists(python) and os.path.exists(config)):
        return False
    version = "%d.%d." % tuple(sys.version_info[:2])
    lines = [line for line in open(config) if line.startswith("version")]
    if not lines or version not in lines[0] + ".":
        return False
    # Only a fresh copy of the environment is asked; a stamp says that it was sound after the last install.
    if os.path.exists(os.path.join(VENV, "kerfstead-app")):
        return True
    return succeeds([python, "-m", "pip", "--version"])


def install(python, lock):
    """Install a lock's packages, each checked by its hash; nothing to do when its stamp stands."""
    prefix = os.path.dirname(os.path.dirname(python))
    wanted = stamp_of(LOCKS[lock])
    # The tests' lock holds the app's too.
    if any(read(os.path.join(prefix, "kerfstead-" + name)) == wanted for name in (lock,)):
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
        marks = ("NewConnectionError", "Could not find a version", "Temporary failure", "ConnectTimeout",
                 "ConnectionError", "Max retries", "ProxyError")  # fmt: skip
        if any(mark in words for mark in marks):
            raise Stop("The packages could not be fetched: connect this machine to the network, then start again.")
        if "No space left" in words:
            raise Stop("The disk is full: the packages need about 400 MB; make room and start again.")
        raise Stop("The packages could not be installed; pip said: %s" % last_error(words))
    write(os.path.join(prefix, "kerfstead-" + lock), wanted)
    if lock == "tests":
        write(os.path.join(prefix, "kerfstead-app"), stamp_of(LOCKS["app"]))


def last_error(words):
    errors = [line for line in words.splitlines() if line.startswith("ERROR")]
    return (errors or words.splitlines() or ["nothing"])[-1]


def stamp_of(path):
    """What an install depends on: the lock's text and the Python it was made for."""
    with open(path, "rb") as file:
        return hashlib.sha256(file.read() + repr(sys.version_info[:2]).encode()).hexdigest()


def see_to_pdf_libraries(python):
    """The PDF engine's native libraries: installed as root on Debian, otherwise named; the app runs without."""
    prefix = os.path.dirname(os.path.dirname(python))
    stamp = os.path.join(prefix, "kerfstead-pdf")
    if read(stamp) == "seen" or pdf_engine_loads(python):
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
    return subprocess.run(command, env=environment, **quiet).returncode == 0


def make_data_folder(path):
    """The data folder with its secret key, readable by its owner only."""
    try:
        os.makedirs(path, mode=0o700, exist_ok=True)
        if os.path.basename(path) == "demo":
            write(os.path.join(path, "demo"), "Everything in this folder is invented.\n")
        key = os.path.join(path, "secret_key")
        if not os.path.exists(key):
            import secrets

            handle = os.open(key, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
            with os.fdopen(handle, "w") as file:
                file.write(secrets.token_urlsafe(64))
        probe = os.path.join(path, ".probe")
        write(probe, "")
        os.remove(probe)
    except FileExistsError:
        pass
    except OSError as error:
        raise Stop(
            "The data folder %s cannot be written (%s): give this user the right to, or name another one with "
            "KERFSTEAD_DATA." % (path, error.strerror)
        )


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
