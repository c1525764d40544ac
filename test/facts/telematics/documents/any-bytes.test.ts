import fc from 'fast-check';
import {
  readIso15143FaultsJson,
  readIso15143FaultsXml,
  readIso15143Json,
  readIso15143Xml,
} from '../../../../src/facts/telematics/documents/iso-15143.js';
import { UnreadableDocument } from '../../../../src/facts/telematics/documents/machine-report.js';
import { readPushedCsv } from '../../../../src/facts/telematics/documents/pushed-csv.js';
import { readPushedJson } from '../../../../src/facts/telematics/documents/pushed-json.js';
import { readRfmsStatuses } from '../../../../src/facts/telematics/documents/rfms.js';
import { recorded } from '../../../support/telematics/recorded.js';

type Reader = (bytes: Uint8Array) => Promise<object>;

const pushedJson: Reader = (bytes) => {
  let body: unknown;
  try {
    body = JSON.parse(Buffer.from(bytes).toString());
  } catch {
    body = null;
  }
  return readPushedJson(body);
};

const READERS: readonly [name: string, reader: Reader, good: readonly string[]][] = [
  ['XML snapshot', readIso15143Xml, ['iso-snapshot.xml', 'iso-bad-values.xml', 'iso-entities.xml']],
  ['JSON snapshot', readIso15143Json, ['iso-snapshot.json']],
  ['XML faults', readIso15143FaultsXml, ['iso-faults.xml']],
  ['JSON faults', readIso15143FaultsJson, ['iso-snapshot.json']],
  ['rFMS', readRfmsStatuses, ['rfms-statuses.json', 'rfms-bad-values.json']],
  ['pushed JSON', pushedJson, ['pushed.json']],
  ['pushed CSV', readPushedCsv, ['pushed.csv', 'pushed-no-unit.csv']],
];

/**
 * What no text may have that is to be stored: NUL, other control characters, half a surrogate pair.
 */
const UNSTORABLE = /[\p{Cc}\p{Cs}]/u;

/** @throws Error for a text that cannot be stored, and for NaN and infinities */
function assertStorable(value: unknown): void {
  const isBad =
    typeof value === 'string' ? UNSTORABLE.test(value) : Number.isNaN(value) || value === Infinity;
  if (isBad) throw new Error(`cannot be stored: ${JSON.stringify(value)}`);
  if (typeof value !== 'object' || value === null) return;
  for (const [key, inside] of Object.entries(value)) {
    assertStorable(key);
    assertStorable(inside);
  }
}

/** Reads it, or finds it unreadable; whatever is said of it can be stored. */
async function assertOutcome(reader: Reader, bytes: Uint8Array): Promise<void> {
  try {
    assertStorable(await reader(bytes));
  } catch (error) {
    if (!(error instanceof UnreadableDocument)) throw error;
    assertStorable(error.why);
  }
}

/** Puts bytes into a document in place of others. */
const spoilt = (good: Uint8Array) =>
  fc
    .array(
      fc.record({
        at: fc.nat(good.length),
        cut: fc.nat(30),
        put: fc.oneof(
          fc.constantFrom(
            '"',
            '<',
            '>',
            '{',
            '[',
            ',',
            '\n',
            '&#0;',
            '&amp;',
            '\\u0000',
            '\\ud800',
            '1e999',
            '-',
            'null',
            '<a>',
            ']]>',
          ),
          fc.string({ unit: 'binary', maxLength: 12 }),
        ),
      }),
      { minLength: 1, maxLength: 4 },
    )
    .map((edits) =>
      edits.reduce<Uint8Array>(
        (document, { at, cut, put }) =>
          Buffer.concat([document.slice(0, at), Buffer.from(put), document.slice(at + cut)]),
        good,
      ),
    );

describe.each(READERS)('the reader of %s', (_, reader, good) => {
  it('throws nothing else for any bytes', async () => {
    await fc.assert(
      fc.asyncProperty(fc.uint8Array({ maxLength: 200 }), (bytes) => assertOutcome(reader, bytes)),
      { numRuns: 200 },
    );
  });

  it.each(good)('throws nothing else for %s, spoilt', async (name) => {
    await fc.assert(
      fc.asyncProperty(spoilt(recorded(name)), (bytes) => assertOutcome(reader, bytes)),
      { numRuns: 200 },
    );
  });

  it('throws nothing else for any JSON in its place', async () => {
    const fields = fc.constantFrom(
      ...['Equipment', 'Fleet', 'Links', 'rel', 'href', 'EquipmentHeader', 'PIN', 'Distance', 'datetime'],
      ...['FaultCode', 'CodeIdentifier', 'CodeSource', 'vehicleStatusResponse', 'vehicleStatuses', 'vin'],
      ...['uptimeData', 'tellTaleInfo', 'machines', 'readings', 'faults', 'at', 'odometer', '__proto__'],
    );
    const { tree } = fc.letrec((tie) => ({
      tree: fc.oneof(
        { depthSize: 'small', withCrossShrink: true },
        fc.jsonValue(),
        fc.constantFrom('next', '2026-04-02T15:20:00Z', 'A\u0000', '\ud800', 'J1939'),
        fc.dictionary(fields, tie('tree')),
        fc.array(tie('tree'), { maxLength: 3 }),
      ),
    }));
    await fc.assert(
      fc.asyncProperty(tree, (value) => assertOutcome(reader, Buffer.from(JSON.stringify(value)))),
      { numRuns: 300 },
    );
  });
});
