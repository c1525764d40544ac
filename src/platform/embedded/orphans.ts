import { readdirSync, realpathSync } from 'node:fs';
import { basename } from 'node:path';
import { findLeftover, signalPostmaster } from './postmaster.js';
import { processFacts } from './processes.js';

/**
 * Ends the sessions that a killed postmaster left behind. An idle one notices by itself; one that
 * is busy does not look up until its query is done, and no server starts on the cluster before.
 * Where there is no /proc to know them by, they are waited for.
 */
export function endOrphans(cluster: string): void {
  if (findLeftover(cluster)) return;
  const directory = realpathSync(cluster);
  for (const pid of pids()) {
    const { executable = '', workingDirectory } = processFacts(pid) ?? {};
    if (workingDirectory !== directory) continue;
    if (basename(executable.replace(/ \(deleted\)$/, '')) !== 'postgres') continue;
    signalPostmaster(pid, 'SIGQUIT');
  }
}

function pids(): number[] {
  try {
    return readdirSync('/proc')
      .filter((name) => /^\d+$/.test(name))
      .map(Number);
  } catch {
    return [];
  }
}
