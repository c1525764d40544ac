import fc from 'fast-check';
import { openTable } from '../../../src/platform/csv/csv-rows.js';
import { dateIn as readDate } from '../../../src/platform/csv/date-cells.js';
import { ImportReport } from '../../../src/platform/csv/import-report.js';
import { numberIn as readNumber } from '../../../src/platform/csv/number-cells.js';
import { decimalMarkOf, type DecimalMark } from '../../../src/domain/spreadsheets/numbers.js';
import type { Upload } from '../../../src/platform/csv/upload.js';
import { type FleetScope, inFleet } from '../../../src/platform/scope/fleet-scope.js';
import { Problem } from '../../../src/platform/problems/problem.js';
import { readInEnglish } from '../../support/told.js';

const numberIn = (...cell: Parameters<typeof readNumber>) => readInEnglish(readNumber(...cell));
const dateIn = (...cell: Parameters<typeof readDate>) => readInEnglish(readDate(...cell));

const SCOPE: FleetScope = {
  ...{
    fleetId: '00000000-0000-4000-8000-000000000000',
    timeZone: 'UTC',
    units: 'us',
    tokenId: null,
    role: null,
  },
};
const SET = {
  columns: [
    { name: 'unit' },
    { name: 'odometer', measure: 'distance' as const },
    { name: 'hours', measure: 'engine-hours' as const },
    { name: 'date', holds: 'date' as const },
  ],
  required: [['unit']],
};

interface Row {
  odometer?: string;
  hours?: string;
  date?: string;
}

const fileOf = (rows: readonly Row[]): string =>
  [
    'unit;odometer;hours;date',
    ...rows.map(({ odometer, hours, date }, n) => [`R-${n}`, odometer, hours, date].join(';')),
  ].join('\n');

/** Reads a file: returns its number and date cells, or the problem. */
async function readFile(
  text: string,
  asked: { decimal?: DecimalMark } = {},
): Promise<{
  cells: Map<string, ReturnType<typeof readInEnglish<number | string>>>;
  problem: Problem | null;
}> {
  const upload = {
    encoding: 'utf-8',
    async *read() {
      yield Buffer.from(text);
    },
  } as unknown as Upload;
  return inFleet(SCOPE, async () => {
    const cells = new Map<string, ReturnType<typeof readInEnglish<number | string>>>();
    try {
      const table = await openTable(upload, SET, asked, new ImportReport('', true, true));
      const { decimal, dateOrder } = table.conventions;
      for await (const rows of table.chunks(100))
        for (const { cells: known } of rows) {
          const unit = known.get('unit') ?? '';
          for (const column of ['odometer', 'hours']) {
            const cell = known.get(column);
            if (cell !== undefined) cells.set(`${unit} ${column} ${cell}`, numberIn(cell, decimal));
          }
          const date = known.get('date');
          if (date !== undefined) cells.set(`${unit} date ${date}`, dateIn(date, dateOrder));
        }
      return { cells, problem: null };
    } catch (error) {
      if (!(error instanceof Problem)) throw error;
      return { cells, problem: error };
    }
  });
}

const digits = (min: number, max: number): fc.Arbitrary<string> =>
  fc.string({ unit: fc.constantFrom(...'0123456789'), minLength: min, maxLength: max });

/** A number as people write it, and its value. */
const printed = (mark: DecimalMark): fc.Arbitrary<{ text: string; value: number }> =>
  fc
    .record({
      first: fc.constantFrom(...'123456789'),
      rest: digits(0, 8),
      decimals: digits(0, 4),
      sign: fc.constantFrom('', '-', '+', '\u2212'),
      part: fc.constantFrom('', 'mark', ' ', '\u00a0', '\u202f', "'", '\u2019'),
    })
    .map(({ first, rest, decimals, sign, part }) => {
      const [decimal, thousands] = mark === 'point' ? ['.', ','] : [',', '.'];
      const whole = first + rest;
      const grouped = whole.replaceAll(/\B(?=(\d{3})+$)/g, part === 'mark' ? thousands : part);
      const value = Number(`${sign === '-' || sign === '\u2212' ? '-' : ''}${whole}.${decimals || '0'}`);
      return { text: `${sign}${grouped}${decimals === '' ? '' : decimal + decimals}`, value };
    });

/** Numbers that can be read in only one way. */
const DECISIVE: Record<DecimalMark, readonly string[]> = {
  point: ['0.75', '1,234,567', '81,370.5', '8137.000', '12.5'],
  comma: ['0,75', '1.234.567', '81.370,5', '8137,000', '0,370', '12,5'],
};

const RUNS = { numRuns: 100 };

describe('the numbers of a file', () => {
  it.each(['point', 'comma'] as const)(
    'with a decimal %s are read exactly if one of them can be read in only one way',
    async (mark) => {
      const cells = fc.array(printed(mark), { minLength: 1, maxLength: 12 });
      const decisive = fc.constantFrom(...DECISIVE[mark]);
      await fc.assert(
        fc.asyncProperty(cells, decisive, fc.nat(), fc.boolean(), async (numbers, sure, where, isHours) => {
          const rows: Row[] = numbers.map(({ text }) => ({ odometer: text }));
          rows.splice(where % (rows.length + 1), 0, isHours ? { hours: sure } : { odometer: sure });
          const { cells: read, problem } = await readFile(fileOf(rows));
          expect(problem).toBeNull();
          for (const { text, value } of numbers) {
            const [, got] = [...read].find(([key]) => key.endsWith(` odometer ${text.trim()}`)) ?? [];
            expect([text, got]).toEqual([text, { value }]);
          }
        }),
        RUNS,
      );
    },
  );

  it.each(['point', 'comma'] as const)(
    'with a decimal %s are read exactly if the request says so',
    async (mark) => {
      await fc.assert(
        fc.asyncProperty(fc.array(printed(mark), { minLength: 1, maxLength: 12 }), async (numbers) => {
          const { cells } = await readFile(fileOf(numbers.map(({ text }) => ({ odometer: text }))), {
            decimal: mark,
          });
          expect([...cells.values()]).toEqual(numbers.map(({ value }) => ({ value })));
        }),
        RUNS,
      );
    },
  );

  const anyCell = fc.oneof(
    ...(['point', 'comma'] as const).map((mark) => printed(mark).map(({ text }) => text)),
    fc.constantFrom('81,370', '81.370', '1,234', '61250', '0', 'n/a', '12 mi', '-1.234', '081,370'),
  );
  const anyRow: fc.Arbitrary<Row> = fc.record({
    odometer: anyCell,
    hours: fc.oneof(anyCell, fc.constant('')),
  });

  it('are never guessed: an ambiguous number is accepted only if another cell of the file decides', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(anyRow, { minLength: 1, maxLength: 8 }), async (rows) => {
        const { cells, problem } = await readFile(fileOf(rows));
        const texts = rows.flatMap(({ odometer = '', hours = '' }) => [odometer, hours]);
        const marks = new Set(texts.map(decimalMarkOf).filter((mark) => mark !== null));
        expect(problem !== null).toBe(marks.size === 2);
        if (problem) return;
        const [mark] = marks;
        for (const [key, read] of cells) {
          const text = key.replace(/^\S+ \S+ /, '');
          const [one, other] = [numberIn(text, 'point'), numberIn(text, 'comma')];
          const isDoubtful = 'value' in one && 'value' in other && one.value !== other.value;
          if (!isDoubtful) continue;
          expect([text, read]).toEqual([
            text,
            mark === undefined ? { fault: expect.any(String) } : numberIn(text, mark),
          ]);
        }
      }),
      RUNS,
    );
  });

  it('and its dates are read the same in any order of rows', async () => {
    const date = fc
      .tuple(fc.integer({ min: 1, max: 31 }), fc.constantFrom('/', '.', '-'), fc.integer({ min: 1, max: 31 }))
      .map(([one, mark, other]) => `${one}${mark}${other}${mark}2021`);
    const row: fc.Arbitrary<Row> = fc.record({
      odometer: anyCell,
      hours: anyCell,
      date: fc.oneof(date, fc.constant('')),
    });
    await fc.assert(
      fc.asyncProperty(
        fc.array(row, { minLength: 2, maxLength: 8 }),
        fc.array(fc.nat(), { minLength: 8, maxLength: 8 }),
        async (rows, keys) => {
          const [header = '', ...lines] = fileOf(rows).split('\n');
          const shuffled = lines
            .map((line, n) => ({ line, key: keys[n] ?? 0 }))
            .toSorted((a, b) => a.key - b.key);
          const one = await readFile([header, ...lines].join('\n'));
          const other = await readFile([header, ...shuffled.map(({ line }) => line)].join('\n'));
          expect(other.problem?.status).toBe(one.problem?.status);
          const sorted = (cells: typeof one.cells) => [...cells].toSorted(([a], [b]) => (a < b ? -1 : 1));
          expect(sorted(other.cells)).toEqual(sorted(one.cells));
        },
      ),
      RUNS,
    );
  });

  it('decide nothing if their row cannot be split into cells', async () => {
    const { cells } = await readFile(`${fileOf([{ odometer: '81,370' }])}\nR-9;12,5;1;;and more`);
    expect([...cells.values()]).toEqual([{ fault: expect.stringContaining('may mean') }]);
  });
});
