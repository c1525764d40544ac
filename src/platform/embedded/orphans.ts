import { readdirSync, realpathSync } from 'node:fs';
import { basename } from 'node:path';
import { findLeftover, signalPostmaster } from './postmaster.js';
import { processFacts } from './processes.js';

/**
 * Ends the sessions that a killed postmaster left behind. An idle session notices by itself; a busy
 * one does not notice until its query is done, and no server can start on the cluster before that.
 * Without /proc the sessions cannot be identified, so the caller has to wait for them.
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
