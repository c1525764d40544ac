import { EMPTY_CORE } from './judge-usage-reading.js';
import type { Checkpoint, CounterCore, CounterState, CounterVerdict, UsageSource } from './types.js';
import type { CounterMemory, UsageMemory } from './usage-memory.js';

// The same without names, in a third of the space. It is written with every reading, and names
// would take up most of it.
type PackedCore = [
  head: [at: number, life: number, source: UsageSource] | null,
  base: number,
  pace: number | null,
  lines: [source: UsageSource, at: number, raw: number, life: number, since: number][],
  aside: [source: UsageSource, at: number, raw: number, expected: number][],
];
type PackedState = [
  core: PackedCore,
  before: PackedCore | null,
  lastId: string | null,
  lastAt: number | null,
];
type PackedHead = [id: string, odometer: CounterVerdict | null, engineHours: CounterVerdict | null];
type PackedCounter = [
  reach: CounterMemory['reach'],
  days: CounterMemory['days'],
  crossings: CounterMemory['crossings'],
  values: CounterMemory['values'],
];

/** What is remembered of a vehicle's usage, in the form in which it is stored. */
export type PackedMemory = [
  at: number,
  odometerState: PackedState | null,
  engineHoursState: PackedState | null,
  heads: PackedHead[],
  odometer: PackedCounter,
  engineHours: PackedCounter,
];

/** @example packMemory(memory)[0] // the instant of the checkpoint, epoch milliseconds */
export function packMemory({ checkpoint, odometer, engineHours }: UsageMemory): PackedMemory {
  return [
    checkpoint.at,
    packState(checkpoint.odometer),
    packState(checkpoint.engineHours),
    checkpoint.heads.map((head): PackedHead => [head.id, head.odometer, head.engineHours]),
    packCounter(odometer),
    packCounter(engineHours),
  ];
}

/** What `packMemory` packed. */
export function unpackMemory([
  at,
  odometerState,
  hoursState,
  heads,
  odometer,
  hours,
]: PackedMemory): UsageMemory {
  const checkpoint: Checkpoint = {
    at,
    odometer: unpackState(odometerState),
    engineHours: unpackState(hoursState),
    heads: heads.map(([id, ofOdometer, ofHours]) => ({ id, odometer: ofOdometer, engineHours: ofHours })),
  };
  return { checkpoint, odometer: unpackCounter(odometer), engineHours: unpackCounter(hours) };
}

function packState({ core, before, lastId, lastAt }: CounterState): PackedState | null {
  // A counter that nobody ever read.
  if (core === EMPTY_CORE && before === null && lastId === null) return null;
  return [packCore(core), before && packCore(before), lastId, lastAt];
}

function unpackState(packed: PackedState | null): CounterState {
  if (packed === null) return { core: EMPTY_CORE, before: null, lastId: null, lastAt: null };
  const [core, before, lastId, lastAt] = packed;
  return { core: unpackCore(core), before: before && unpackCore(before), lastId, lastAt };
}

function packCore({ head, base, pace, lines, aside }: CounterCore): PackedCore {
  return [
    head && [head.at, head.life, head.source],
    base,
    pace,
    sourcesOf(lines).map(([source, { at, raw, life, since }]) => [source, at, raw, life, since]),
    sourcesOf(aside).map(([source, { at, raw, expected }]) => [source, at, raw, expected]),
  ];
}

function unpackCore([head, base, pace, packedLines, packedAside]: PackedCore): CounterCore {
  const lines: CounterCore['lines'] = {};
  for (const [source, at, raw, life, since] of packedLines) lines[source] = { at, raw, life, since };
  const aside: CounterCore['aside'] = {};
  for (const [source, at, raw, expected] of packedAside) aside[source] = { at, raw, expected };
  return { head: head && { at: head[0], life: head[1], source: head[2] }, base, pace, lines, aside };
}

function packCounter({ reach, days, crossings, values }: CounterMemory): PackedCounter {
  return [reach, days, crossings, values];
}

function unpackCounter([reach, days, crossings, values]: PackedCounter): CounterMemory {
  return { reach, days, crossings, values };
}

function sourcesOf<T>(record: Partial<Record<UsageSource, T>>): [UsageSource, T][] {
  return Object.entries(record) as [UsageSource, T][];
}
