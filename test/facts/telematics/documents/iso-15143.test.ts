import {
  readIso15143FaultsJson,
  readIso15143FaultsXml,
  readIso15143Json,
  readIso15143Xml,
} from '../../../../src/facts/telematics/documents/iso-15143.js';
import { recorded } from '../../../support/telematics/recorded.js';
import { linesOf, unreadable, valuesOf } from '../../../support/telematics/report-words.js';

const bytes = (text: string): Uint8Array => Buffer.from(text);
const fleet = (inside: string): Uint8Array =>
  bytes(`<Fleet xmlns="http://standards.iso.org/iso/15143/-3">${inside}</Fleet>`);
const hours = (serial: string, value: string): string =>
  `<Equipment><EquipmentHeader><SerialNumber>${serial}</SerialNumber></EquipmentHeader>` +
  `<CumulativeOperatingHours datetime="2026-04-02T15:20:00Z"><Hour>${value}</Hour></CumulativeOperatingHours></Equipment>`;

describe('a fleet snapshot of ISO 15143-3 in XML', () => {
  it('gives each machine with what it says, in km and hours', async () => {
    const page = await readIso15143Xml(recorded('iso-snapshot.xml'));
    expect(page.next).toBe('https://telematics.invalid/Fleet/2');
    expect(page.refused).toEqual([]);
    expect(page.machines.map(({ identity }) => identity)).toEqual([
      {
        vin: '0ZZ00000000000417',
        serialNumber: 'MP-000417',
        equipmentId: 'Yard 7',
        make: 'Marrow & Pike',
        model: 'Heron 22',
      },
      { vin: null, serialNumber: 'TB-9', equipmentId: null, make: 'Tollbrook', model: 'Ox' },
      { vin: null, serialNumber: 'TB-10', equipmentId: null, make: 'Tollbrook', model: null },
    ]);
    expect(valuesOf(page.machines[0])).toEqual([
      '2026-04-02T15:20:00Z 182004.5 km',
      '2026-04-02T15:20:00Z 8412.35 h',
    ]);
    // 1 mi = 1.609344 km (NIST SP 811).
    expect(valuesOf(page.machines[1])).toEqual([
      '2026-04-02T14:00:00Z 1609.344 km',
      '2026-04-02T14:00:00Z 120 h',
      '2026-04-02T13:55:10Z SPN 110 FMI 0 active',
    ]);
  });

  it('lists a machine that measures nothing, with nothing refused', async () => {
    const { machines } = await readIso15143Xml(recorded('iso-snapshot.xml'));
    expect(machines[2]).toMatchObject({ odometerKm: [], engineHours: [], faults: [], refused: [] });
  });

  it('is read with a prefix and instants as elements; extensions are passed over', async () => {
    const { machines } = await readIso15143Xml(recorded('iso-snapshot-prefixed.xml'));
    expect(machines).toHaveLength(1);
    expect(machines[0]?.identity).toMatchObject({ make: 'Marrow & Pike', serialNumber: 'MP-000418' });
    expect(valuesOf(machines[0])).toEqual(['2026-04-02T15:20:00Z 52 h']);
    expect(machines[0]?.refused).toEqual([]);
  });

  it('may be of a single machine', async () => {
    const { machines } = await readIso15143Xml(recorded('iso-single.xml'));
    expect(machines.map(valuesOf)).toEqual([['2026-04-02T14:00:00Z 77.5 h']]);
  });

  it('may be of none', async () => {
    expect(await readIso15143Xml(fleet(''))).toEqual({ machines: [], next: null, refused: [] });
  });

  it('refuses each bad value with its place, and takes the good ones beside it', async () => {
    const page = await readIso15143Xml(recorded('iso-bad-values.xml'));
    const refused = page.machines.flatMap((machine) => linesOf(machine.refused));
    expect(refused).toEqual([
      '/Fleet/Equipment[1]/Distance/OdometerUnits has no unit, so Odometer was not taken; the units are kilometre and mile',
      '/Fleet/Equipment[2]/Distance/OdometerUnits is "furlong"; the units taken are kilometre and mile',
      '/Fleet/Equipment[3]/CumulativeOperatingHours/datetime is "2026-04-02T15:20:00"; it lacks the offset from UTC, such as -06:00 or Z',
      '/Fleet/Equipment[4]/CumulativeOperatingHours[1]/datetime is required',
      '/Fleet/Equipment[4]/CumulativeOperatingHours[2]/datetime is in the year 1; years from 1950 to 2150 are taken',
      '/Fleet/Equipment[4]/CumulativeOperatingHours[3]/datetime is "2026-02-30"; there is no such day',
      '/Fleet/Equipment[5]/CumulativeOperatingHours[1]/Hour is "NaN"; a number with a decimal point is needed',
      '/Fleet/Equipment[5]/CumulativeOperatingHours[2]/Hour is "INF"; a number with a decimal point is needed',
      '/Fleet/Equipment[5]/CumulativeOperatingHours[3]/Hour is "1,5"; a number with a decimal point is needed',
      '/Fleet/Equipment[5]/CumulativeOperatingHours[4]/Hour is "PT5H"; a number with a decimal point is needed',
      '/Fleet/Equipment[5]/CumulativeOperatingHours[5]/Hour is "1e999"; a number with a decimal point is needed',
      '/Fleet/Equipment[5]/CumulativeOperatingHours[6]/Hour is -1 h; it must be from 0 h to 1000000 h',
      '/Fleet/Equipment[5]/CumulativeOperatingHours[7]/Hour is 4294967295 h; it must be from 0 h to 1000000 h',
    ]);
    expect(page.machines.map(valuesOf)).toEqual([
      ['2026-04-02T15:20:00Z 1 h'],
      ['2026-04-02T15:20:00Z 2 h'],
      ['2026-04-02T15:20:00Z 3 km'],
      ['2026-04-02T15:20:00Z 4 h'],
      ['2026-04-02T15:20:00Z 5 h'],
    ]);
    expect(linesOf(page.refused)).toEqual([
      '/Fleet/Equipment[6] has none of PIN, SerialNumber and EquipmentID, so nothing says which machine it is',
    ]);
  });

  it('gives a machine that is there twice twice', async () => {
    const { machines } = await readIso15143Xml(recorded('iso-duplicate.xml'));
    expect(
      machines.map(({ identity, engineHours }) => [identity.serialNumber, engineHours[0]?.value]),
    ).toEqual([
      ['TB-9', 120],
      ['TB-9', 4120],
    ]);
  });

  it('tells a link that is none, and reads the machines all the same', async () => {
    const links = '<Links><rel>next</rel><href>two words</href></Links>';
    const page = await readIso15143Xml(fleet(links + hours('A', '1')));
    expect(page.next).toBeNull();
    expect(page.machines).toHaveLength(1);
    expect(linesOf(page.refused)).toEqual([
      '/Fleet/Links[1]/href is "two words", which is not a link, so the pages after this one were not read',
    ]);
  });

  it('refuses names that are too long or cannot be stored, and keeps the other names', async () => {
    const header = `<EquipmentHeader><PIN>${'x'.repeat(101)}</PIN><SerialNumber>A&#x85;B</SerialNumber><EquipmentID>7</EquipmentID></EquipmentHeader>`;
    const page = await readIso15143Xml(fleet(`<Equipment>${header}</Equipment>`));
    expect(page.machines.map(({ identity }) => identity)).toEqual([
      { vin: null, serialNumber: null, equipmentId: '7', make: null, model: null },
    ]);
    expect(page.refused.map(({ path }) => path)).toEqual([
      '/Fleet/Equipment[1]/EquipmentHeader/PIN',
      '/Fleet/Equipment[1]/EquipmentHeader/SerialNumber',
    ]);
  });

  it('tells at most a thousand refused values, and how many more there are', async () => {
    const machines = Array.from({ length: 1500 }, (_, index) => hours(`M${index}`, 'x')).join('');
    const page = await readIso15143Xml(fleet(machines));
    expect(page.machines.flatMap(({ refused }) => refused)).toHaveLength(1000);
    expect(linesOf(page.refused)).toEqual([' 500 more values were refused']);
  });
});

describe('a document that cannot be read as a fleet snapshot in XML', () => {
  it.each([
    ['nothing', bytes(''), 'The document is not XML: it stops being well-formed at line 1.'],
    [
      'half of one',
      fleet('<Equipment>').slice(0, 70),
      'The document is not XML: it stops being well-formed at line 1.',
    ],
    ['JSON', bytes('{}'), 'The document is not XML: it stops being well-formed at line 1.'],
    ['an unknown entity', fleet('&nbsp;'), 'The document is not XML: it stops being well-formed at line 1.'],
    [
      'another document',
      bytes('<Error>no</Error>'),
      'The document has Error where Fleet is needed. Is the address of the source right?',
    ],
    [
      'a web page',
      bytes('<!DOCTYPE html><html></html>'),
      'The document has a DOCTYPE, which is not accepted. Is it a web page, such as a login?',
    ],
    [
      'entities',
      recorded('iso-entities.xml'),
      'The document has a DOCTYPE, which is not accepted. Is it a web page, such as a login?',
    ],
    ['other bytes', Uint8Array.of(0x3c, 0x46, 0xff), 'The document is not text in UTF-8.'],
    ['UTF-16', Buffer.from('\uFEFF<Fleet/>', 'utf16le'), 'The document is not text in UTF-8.'],
  ])('%s', async (_, document, why) => {
    expect(await unreadable(readIso15143Xml(document))).toBe(why);
  });

  it('nesting without end', async () => {
    const deep = fleet('<a>'.repeat(100_000));
    expect(await unreadable(readIso15143Xml(deep))).toContain('more than 32 levels');
  });

  it('one machine of endless values', async () => {
    const many = fleet(`<Equipment>${'<a/>'.repeat(25_000)}</Equipment>`);
    expect(await unreadable(readIso15143Xml(many))).toContain('more than 20,000 values');
  });

  it('endless values that are no machines', async () => {
    const many = fleet('<a/>'.repeat(1_100_000));
    expect(await unreadable(readIso15143Xml(many))).toContain('more than 1,000,000 values');
  });

  it('more than 16 MiB', async () => {
    const large = fleet(' '.repeat(16 * 1024 * 1024));
    expect(await unreadable(readIso15143Xml(large))).toContain('larger than 16 MiB');
  });
});

// The parser is given 256 KiB at a time; a character outside the basic plane is two units of
// UTF-16.
it.each([0, 1])('a character that lies across two pieces of the text stays whole (%d)', async (shift) => {
  const header = `<EquipmentHeader><SerialNumber>A</SerialNumber><OEMName>${'😀'.repeat(40)}</OEMName></EquipmentHeader>`;
  const before = Buffer.from(fleet('')).indexOf('</Fleet>') + '<Equipment>'.length + header.indexOf('😀');
  const padding = ' '.repeat(256 * 1024 - before - 40 + shift);
  const { machines } = await readIso15143Xml(fleet(`${padding}<Equipment>${header}</Equipment>`));
  expect(machines[0]?.identity.make).toBe('😀'.repeat(40));
});

it('a page of 10 MB is read, machine by machine', async () => {
  const padding = `<Note>${'n'.repeat(800)}</Note>`;
  const machines = Array.from({ length: 10_000 }, (_, index) =>
    hours(`M${index}`, String(index)).replace('</Equipment>', `${padding}</Equipment>`),
  );
  const document = fleet(machines.join(''));
  expect(document.length).toBeGreaterThan(10_000_000);
  const page = await readIso15143Xml(document);
  expect(page.machines).toHaveLength(10_000);
  expect(page.machines.at(-1)?.engineHours).toEqual([
    { at: Date.parse('2026-04-02T15:20:00Z'), value: 9999 },
  ]);
});

describe('a fleet snapshot of ISO 15143-3 in JSON', () => {
  it('says the same as in XML, whether a figure is a number or a text', async () => {
    const page = await readIso15143Json(recorded('iso-snapshot.json'));
    expect(page.next).toBe('Fleet/2');
    expect(page.machines[0]?.identity.vin).toBe('0ZZ00000000000417');
    expect(valuesOf(page.machines[0])).toEqual([
      '2026-04-02T15:20:00Z 182004.5 km',
      '2026-04-02T15:20:00Z 8412.35 h',
    ]);
    expect(valuesOf(page.machines[1])).toEqual(['2026-04-02T13:55:10Z P0217 active']);
    expect(page.machines.flatMap(({ refused }) => refused)).toEqual([]);
  });

  it('is read when it is wrapped in its name, with one machine that is no list', async () => {
    const equipment = {
      equipmentHeader: { serialNumber: 'A' },
      cumulativeOperatingHours: { dateTime: '2026-04-02T15:20:00Z', hour: 5 },
    };
    const page = await readIso15143Json(bytes(JSON.stringify({ Fleet: { Equipment: equipment } })));
    expect(page.machines.map(valuesOf)).toEqual([['2026-04-02T15:20:00Z 5 h']]);
  });

  it('may be of a single machine, or of none', async () => {
    const single = await readIso15143Json(bytes('{"EquipmentHeader":{"SerialNumber":"A"}}'));
    expect(single.machines.map(({ identity }) => identity.serialNumber)).toEqual(['A']);
    expect(await readIso15143Json(bytes('{"Equipment":[]}'))).toEqual({
      machines: [],
      next: null,
      refused: [],
    });
  });

  it('refuses a missing unit and a number beyond all numbers, with a JSON Pointer', async () => {
    const page = await readIso15143Json(
      bytes(
        '{"Equipment":[{"EquipmentHeader":{"SerialNumber":"A"},"Distance":{"datetime":"2026-04-02T15:20:00Z","Odometer":5},' +
          '"CumulativeOperatingHours":[{"datetime":"2026-04-02T15:20:00Z","Hour":1e999},{"datetime":"2026-04-02T15:20:00Z","Hour":true}]},7]}',
      ),
    );
    expect(linesOf(page.machines[0]?.refused ?? [])).toEqual([
      '/Equipment/0/CumulativeOperatingHours/0/Hour is "Infinity"; a number with a decimal point is needed',
      '/Equipment/0/CumulativeOperatingHours/1/Hour is "true"; a number with a decimal point is needed',
      '/Equipment/0/Distance/OdometerUnits has no unit, so Odometer was not taken; the units are kilometre and mile',
    ]);
    expect(page.refused.map(({ path }) => path)).toEqual(['/Equipment/1']);
  });

  it.each([
    ['XML', '<Fleet/>', 'The document is not JSON.'],
    ['nothing', '', 'The document is not JSON.'],
    ['a number', '7', 'The document has 7 where Equipment is needed. Is the address of the source right?'],
    [
      'an error',
      '{"error":"no"}',
      'The document has {…} where Equipment is needed. Is the address of the source right?',
    ],
    [
      'nesting',
      '['.repeat(100_000),
      'The document has more than 32 levels, one inside another. No document of this kind needs so many.',
    ],
    [
      'an object of endless fields',
      `{"Equipment":[${'{},'.repeat(2000)}{"a":"\\",",${',"a":0'.repeat(1000)}}]}`,
      'The document has more than 1,000 values where fewer are allowed. Ask for smaller pages.',
    ],
    [
      'many',
      `[${'0,'.repeat(1_000_001)}0]`,
      'The document has more than 1,000,000 values where fewer are allowed. Ask for smaller pages.',
    ],
  ])('%s is none', async (_, document, why) => {
    expect(await unreadable(readIso15143Json(bytes(document)))).toBe(why);
  });
});

describe('the fault time series of ISO 15143-3', () => {
  it('gives codes whose system the document names, and refuses the others', async () => {
    const page = await readIso15143FaultsXml(recorded('iso-faults.xml'));
    expect(page.next).toContain('/Faults/2026-04-01T00:00:00Z/2026-04-02T00:00:00Z/2');
    expect(page.faults).toEqual([
      {
        at: Date.parse('2026-04-01T10:00:00Z'),
        code: { system: 'j1939', spn: 111, fmi: 17 },
        isActive: true,
        occurrences: null,
      },
    ]);
    expect(linesOf(page.refused)).toEqual([
      '/FaultCode[2]/CodeSource is "E41": the code 110-0 is of a system that only the maker of the machine can explain. Codes of SAE J1939 and SAE J2012 are taken',
      '/FaultCode[3]/CodeSource is missing: without the system that the code 110-0 belongs to, nobody can tell what it means',
      '/FaultCode[4]/CodeIdentifier is "P0217", which is not a code of J1939',
      '/FaultCode[5]/CodeIdentifier SPN 600,000 does not exist: it goes up to 524,287.',
      '/FaultCode[6]/CodeIdentifier has no value',
    ]);
  });

  it('says the same in JSON', async () => {
    const fault = { datetime: '2026-04-01T10:00:00Z', CodeIdentifier: '110/0', CodeSource: 'J1939' };
    const document = {
      FaultCode: [fault, { ...fault, datetime: '2026-04-01' }],
      Links: [{ rel: 'self', href: 'x' }],
    };
    const page = await readIso15143FaultsJson(bytes(JSON.stringify(document)));
    expect(page.faults).toHaveLength(1);
    expect(page.next).toBeNull();
    expect(page.refused.map(({ path }) => path)).toEqual(['/FaultCode/1/datetime']);
  });
});
