import { randomBytes } from 'node:crypto';
import { mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { giveToOwnerOfDirectory } from '../src/platform/embedded/account.js';

const ROLES = ['manager', 'mechanic', 'driver', 'dashboard'] as const;

export type Tokens = Record<(typeof ROLES)[number], string>;

/**
 * Where the demonstration is and how to sign in. The database keeps only digests of tokens, so the
 * tokens themselves are kept here.
 */
export interface DemoFile {
  url: string;
  fleetId: string;
  tokens: Tokens;
}

const pathIn = (dataDir: string): string => join(dataDir, 'demo.json');

/** Reads the file of an earlier start; null when there is none or it cannot be used. */
export function readDemoFile(dataDir: string): DemoFile | null {
  try {
    const { url, fleetId, tokens } = JSON.parse(readFileSync(pathIn(dataDir), 'utf8')) as Partial<DemoFile>;
    const isWhole = typeof url === 'string' && /^[0-9a-f-]{36}$/.test(fleetId ?? '');
    return isWhole && ROLES.every((role) => typeof tokens?.[role] === 'string')
      ? ({ url, fleetId, tokens } as DemoFile)
      : null;
  } catch {
    return null;
  }
}

/** Writes the file atomically, readable by its owner only. */
export function writeDemoFile(dataDir: string, content: DemoFile): void {
  mkdirSync(dataDir, { recursive: true });
  const unfinished = `${pathIn(dataDir)}.${randomBytes(4).toString('hex')}`;
  writeFileSync(unfinished, `${JSON.stringify(content, null, 2)}\n`, { mode: 0o600, flag: 'wx' });
  giveToOwnerOfDirectory(unfinished);
  renameSync(unfinished, pathIn(dataDir));
}
