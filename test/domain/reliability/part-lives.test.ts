import type {
  PartReplaced,
  VehicleParts,
  WantedLives,
} from '../../../src/domain/reliability/part-history.js';
import { partLivesOf } from '../../../src/domain/reliability/part-lives.js';

const SHEET = 'sheet-a';
const WANTED: WantedLives = {
  ...{ item: null, duty: null, specSheetId: null, recordsFrom: null },
  ...{ today: '2026-04-02', timeZone: 'America/Denver' },
};

function vehicle(more: Partial<VehicleParts> = {}): VehicleParts {
  return {
    inServiceOn: '2021-03-15',
    inServiceUse: 12,
    lastUse: 9000,
    watchedFrom: null,
    hasBaseline: false,
    items: [],
    assignments: [{ effectiveOn: '1950-01-01', duty: 'normal', specSheetId: SHEET }],
    replacements: [],
    ...more,
  };
}

function replaced(on: string, use: number | null, more: Partial<PartReplaced> = {}): PartReplaced {
  return {
    ...{ jobId: `job ${on}`, at: Date.parse(`${on}T18:00:00Z`), use, item: null },
    ...{ failed: false, isBaseline: false },
    ...more,
  };
}

const told = (parts: VehicleParts, wanted: Partial<WantedLives> = {}) => {
  const { lives, leftOut } = partLivesOf(parts, { ...WANTED, ...wanted });
  return { lives: lives.map(({ age, entry, ended }) => [age, entry, ended]), leftOut };
};

describe('the lives of parts', () => {
  it('run from the day in service to the first replacement, from one to the next, and to the last reading', () => {
    const parts = vehicle({
      replacements: [replaced('2024-05-01', 8000), replaced('2023-05-01', 6712, { failed: true })],
    });
    expect(told(parts).lives).toEqual([
      [6700, 0, 'failed'],
      [1288, 0, 'replaced'],
      [1000, 0, 'running'],
    ]);
    expect(told(vehicle()).lives).toEqual([[8988, 0, 'running']]);
  });

  it('are left out, with the reason, where the usage at an end is not known or nothing was run', () => {
    const unknown = vehicle({ replacements: [replaced('2023-05-01', null, { failed: true })] });
    expect(told(unknown)).toEqual({ lives: [], leftOut: ['usage-unknown', 'usage-unknown'] });
    expect(told(vehicle({ inServiceUse: null })).leftOut).toEqual(['usage-unknown']);
    expect(told(vehicle({ lastUse: null })).leftOut).toEqual(['usage-unknown']);
    // No reading since the last replacement.
    expect(told(vehicle({ replacements: [replaced('2026-04-01', 9000)] }))).toEqual({
      lives: [[8988, 0, 'replaced']],
      leftOut: ['no-use'],
    });
    expect(told(vehicle({ replacements: [replaced('2026-04-01', 9100)] })).leftOut).toEqual([
      'usage-unknown',
    ]);
  });

  it('begin at a job from before records began, and count from the first reading on record', () => {
    const baseline = replaced('2022-05-01', 3000, { isBaseline: true, failed: true });
    const parts = vehicle({
      hasBaseline: true,
      watchedFrom: { at: Date.parse('2023-01-01T00:00:00Z'), use: 5000 },
      replacements: [baseline, replaced('2024-05-01', 8000, { failed: true })],
    });
    expect(told(parts)).toEqual({
      lives: [
        [5000, 2000, 'failed'],
        [1000, 0, 'running'],
      ],
      leftOut: ['before-records'],
    });
    // A vehicle with work from before records began had its other first parts then as well.
    expect(told({ ...parts, replacements: [] }).lives).toEqual([[8988, 4988, 'running']]);
    // The first reading is that of the failure itself.
    const { lives } = partLivesOf({ ...parts, watchedFrom: { at: 0, use: 8000 } }, WANTED);
    expect(lives[0]).toMatchObject({ age: 5000, entry: 0, failed: true, isEntryUnknown: true });
    // Still running at the first reading: it tells nothing yet.
    expect(told({ ...parts, watchedFrom: { at: 0, use: 9000 }, replacements: [baseline] }).leftOut).toEqual([
      'before-records',
      'watched-only-at-its-end',
    ]);
  });

  it('count from the day that records began, where that is said', () => {
    const parts = vehicle({
      watchedFrom: { at: Date.parse('2023-06-01T00:00:00Z'), use: 6900 },
      replacements: [
        replaced('2023-05-01', 6712, { failed: true }),
        replaced('2024-05-01', 8000, { failed: true }),
      ],
    });
    expect(told(parts, { recordsFrom: '2023-06-01' })).toEqual({
      lives: [
        [1288, 188, 'failed'],
        [1000, 0, 'running'],
      ],
      leftOut: ['before-records'],
    });
  });

  it('are those of the duty and the sheet that were asked for', () => {
    const parts = vehicle({
      assignments: [
        { effectiveOn: '1950-01-01', duty: 'normal', specSheetId: SHEET },
        { effectiveOn: '2024-06-01', duty: 'severe', specSheetId: SHEET },
        { effectiveOn: '2025-01-01', duty: 'severe', specSheetId: 'sheet-b' },
      ],
      replacements: [
        replaced('2023-05-01', 6712),
        replaced('2024-05-01', 8000),
        replaced('2025-02-01', 8500),
      ],
    });
    const duties = partLivesOf(parts, WANTED).lives.map(({ duty }) => duty);
    expect(duties).toEqual(['normal', 'normal', 'mixed', 'severe']);
    expect(told(parts, { duty: 'normal' }).lives).toHaveLength(2);
    expect(told(parts, { duty: 'severe' }).lives).toEqual([[500, 0, 'running']]);
    expect(told(parts, { specSheetId: SHEET })).toEqual({
      lives: [
        [6700, 0, 'replaced'],
        [1288, 0, 'replaced'],
      ],
      leftOut: ['sheet-changed'],
    });
    expect(told(parts, { specSheetId: 'sheet-b' })).toEqual({
      lives: [[500, 0, 'running']],
      leftOut: ['sheet-changed'],
    });
    expect(told(parts, { specSheetId: 'sheet-c' })).toEqual({ lives: [], leftOut: [] });
  });

  it('are told apart by item, each with a first part of its own', () => {
    const parts = vehicle({
      items: ['accessory', 'compressor'],
      replacements: [replaced('2023-05-01', 6712, { item: 'accessory', failed: true })],
    });
    expect(told(parts).lives).toEqual([
      [6700, 0, 'failed'],
      [2288, 0, 'running'],
      [8988, 0, 'running'],
    ]);
    expect(told(parts, { item: 'compressor' }).lives).toEqual([[8988, 0, 'running']]);
    expect(told(parts, { item: 'blower' }).lives).toEqual([]);
    expect(told(vehicle(), { item: 'blower' }).lives).toEqual([[8988, 0, 'running']]);
    const unnamed = replaced('2023-05-01', 6712);
    expect(told({ ...parts, replacements: [unnamed] }).leftOut).toEqual(['item-unknown']);
    // Where there is one only, a line that names none means that one.
    expect(
      told({ ...parts, items: ['accessory'], replacements: [unnamed] }, { item: 'accessory' }).lives,
    ).toEqual([
      [6700, 0, 'replaced'],
      [2288, 0, 'running'],
    ]);
  });

  it('end once where one job has two lines of the part', () => {
    const line = replaced('2023-05-01', 6712);
    expect(told(vehicle({ replacements: [line, { ...line, failed: true }] }))).toEqual({
      lives: [
        [6700, 0, 'failed'],
        [2288, 0, 'running'],
      ],
      leftOut: [],
    });
  });
});
