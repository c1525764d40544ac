/**
 * Code for a separate thread: it reads files from strangers, so that no other request waits
 * meanwhile. Only `SheetThreads` loads it. Results are returned as values, because errors lose
 * their class between threads.
 */
import { createHash } from 'node:crypto';
import { readFile as readBytes } from 'node:fs/promises';
import { setPriority } from 'node:os';
import type { UnitSystem } from '../../../domain/quantities/measures.js';
import { analyseSheet, type SheetAnalysis, type SheetChoices } from '../../../domain/spreadsheets/analyse.js';
import type { Declared } from '../../../platform/csv/encodings.js';
import { type FieldFault, Problem } from '../../../platform/problems/problem.js';
import { packRows, unpackAll } from './pieces.js';
import { type ReadFile, readFile } from './read-file.js';
import { UnreadableSheet } from './unreadable.js';

export interface Reading {
  path: string;
  declared: Declared | null;
  choices: SheetChoices;
  /** The sheet that the sender names. */
  sheet: string | null;
  system: UnitSystem;
}

/** A sheet with its rows packed. */
export interface PackedSheet {
  name: string;
  rows: number;
  is1904: boolean;
  pieces: Uint8Array[];
}

export type FileRead =
  | {
      outcome: 'read';
      sha256: string;
      format: ReadFile['format'];
      encoding: ReadFile['encoding'];
      delimiter: ReadFile['delimiter'];
      unread: ReadFile['unread'];
      sheets: PackedSheet[];
      /** The sheet that was looked at. */
      sheet: string;
      analysis: SheetAnalysis;
    }
  | { outcome: 'refused'; faults: FieldFault[] };

// On Linux a thread has its own priority, so requests that wait for a response come first.
// Elsewhere this would change the priority of the whole process.
if (process.platform === 'linux') setPriority(10);

/** Reads a file and looks at the sheet that is named, else at the one with the most rows. */
export async function read({ path, declared, choices, sheet, system }: Reading): Promise<FileRead> {
  try {
    const bytes = await readBytes(path);
    const { sheets, ...about } = await readFile(bytes, declared);
    const largest = sheets.reduce((best, next) => (next.rows.length > best.rows.length ? next : best));
    const named = sheets.find(({ name }) => name.trim().toLowerCase() === sheet?.trim().toLowerCase());
    const looked = named ?? largest;
    return {
      ...about,
      outcome: 'read',
      sha256: createHash('sha256').update(bytes).digest('hex'),
      sheet: looked.name,
      analysis: analyseSheet(looked.rows, choices, system),
      sheets: sheets.map(({ name, rows, is1904 }) => ({
        name,
        is1904,
        rows: rows.length,
        pieces: packRows(rows),
      })),
    };
  } catch (error) {
    if (error instanceof UnreadableSheet)
      return { outcome: 'refused', faults: [{ ...error.place, detail: error.why }] };
    if (error instanceof Problem) return { outcome: 'refused', faults: error.errors };
    throw error;
  }
}

export interface Look {
  pieces: Uint8Array[];
  choices: SheetChoices;
  system: UnitSystem;
}

/** Looks at a sheet again, with other choices. */
export function look({ pieces, choices, system }: Look): SheetAnalysis {
  return analyseSheet(unpackAll(pieces), choices, system);
}
