import { type RawRow, rawRows } from '../../../src/platform/csv/raw-rows.js';
import type { Upload } from '../../../src/platform/csv/upload.js';

/** Reads the rows of a file that arrives in pieces of this size. */
async function rowsOf(text: string, pieceBytes: number): Promise<RawRow[]> {
  const bytes = Buffer.from(text);
  const upload: Pick<Upload, 'encoding' | 'read'> = {
    encoding: 'utf-8',
    async *read() {
      for (let at = 0; at < bytes.length; at += pieceBytes) yield bytes.subarray(at, at + pieceBytes);
    },
  };
  const rows: RawRow[] = [];
  for await (const row of rawRows(upload, ',')) rows.push(row);
  return rows;
}

const RAGGED = 'unit,make,year\n1\n2,Alder\n3,Alder,2020\n4,Alder,2020,,\n"5\r\nb",x\n6\n';

describe('the rows of a file', () => {
  it.each([1, 7, 64 * 1024])(
    'are read whatever their numbers of cells, in pieces of %d bytes',
    async (pieceBytes) => {
      expect(await rowsOf(RAGGED, pieceBytes)).toEqual([
        { line: 1, cells: ['unit', 'make', 'year'] },
        { line: 2, cells: ['1'] },
        { line: 3, cells: ['2', 'Alder'] },
        { line: 4, cells: ['3', 'Alder', '2020'] },
        { line: 5, cells: ['4', 'Alder', '2020', '', ''] },
        { line: 6, cells: ['5\r\nb', 'x'] },
        { line: 8, cells: ['6'] },
      ]);
    },
  );

  it('that the parser refuses for a reason we do not know are refused in words of ours', async () => {
    const upload: Pick<Upload, 'encoding' | 'read'> = {
      encoding: 'utf-8',
      async *read() {
        yield Buffer.from('unit,make\n1,Alder\n');
        throw Object.assign(new Error('Library Words: at line 3'), { code: 'CSV_OF_TOMORROW' });
      },
    };
    const reading = (async () => {
      for await (const row of rawRows(upload, ',')) void row;
    })();
    await expect(reading).rejects.toMatchObject({
      status: 422,
      errors: [{ line: expect.any(Number), detail: { code: 'file-not-csv', values: {} } }],
    });
  });

  it('make no error object for each row with more or fewer cells than the first', async () => {
    // The parser's errors take their stack by this function.
    const errors = jest.spyOn(Error, 'captureStackTrace');
    await rowsOf(RAGGED, 64 * 1024);
    const made = errors.mock.calls.map(([error]) => (error as Error).constructor.name);
    expect(made).not.toContain('CsvError');
  });
});
