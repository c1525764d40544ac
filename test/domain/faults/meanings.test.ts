import { faultCodeIn } from '../../../src/domain/faults/fault-code.js';
import {
  circuitOf,
  FAULT_MEANINGS,
  KNOWN_OBD_CODES,
  KNOWN_SPNS,
  meaningOf,
  sourceOf,
} from '../../../src/domain/faults/meanings.js';
import { message } from '../../../src/domain/faults/messages.js';
import { toldMeaning } from '../../../src/domain/faults/told-meaning.js';
import { meaningForWork, opensWhat } from '../../../src/domain/faults/what-it-opens.js';
import { english } from '../../support/english.js';
import { FOLLOW_UPS } from '../../../src/domain/follow-ups/follow-up-table.js';

const means = (typed: string) => meaningOf(faultCodeIn(typed));
const opens = (typed: string): string[] => {
  const meaning = means(typed);
  return meaning === null
    ? []
    : opensWhat(meaning).map((finding) => FOLLOW_UPS[finding].slice(0, 2).join(' '));
};

describe('what a fault code means', () => {
  // Names: SAE J1939-71; failure modes: SAE J1939-73, appendix A; P codes: SAE J2012 / ISO 15031-6.
  it.each([
    ['SPN 110 FMI 0', 'overheated'],
    ['SPN 110 FMI 16', 'overheated'],
    ['SPN 110 FMI 15', 'ran-hot'],
    ['SPN 110 FMI 18', 'runs-cold'],
    ['SPN 1637 FMI 0', 'overheated'],
    ['SPN 111 FMI 1', 'level-low'],
    ['SPN 111 FMI 18', 'level-low'],
    ['SPN 111 FMI 17', 'level-falling'],
    ['SPN 109 FMI 1', 'pressure-low'],
    ['SPN 109 FMI 0', 'pressure-high'],
    ['SPN 647 FMI 3', 'fan-circuit'],
    ['SPN 647 FMI 7', 'fan-still'],
    ['SPN 1639 FMI 1', 'fan-still'],
    ['SPN 112 FMI 0', 'filter-blocked'],
    ['SPN 167 FMI 1', 'not-charging'],
    ['P0217', 'overheated'],
    ['P0128', 'runs-cold'],
    ['P2560', 'level-low'],
    ['P2181', 'cooling-performance'],
    ['P0480', 'fan-circuit'],
    ['P0597', 'thermostat-circuit'],
    ['P0218', 'transmission-hot'],
    ['SPN 177 FMI 16', 'transmission-hot'],
    ['SPN 3668 FMI 1', 'level-low'],
    ['P0A06', 'pump-circuit'],
    ['P0C44', 'temperature-sensor'],
  ])('%s: %s', (typed, meaning) => {
    expect(means(typed)).toBe(meaning);
  });

  it.each([
    'SPN 110 FMI 31',
    'SPN 110 FMI 11',
    'SPN 100 FMI 1',
    'SPN 441 FMI 0',
    'SPN 111 FMI 0',
    'P0420',
    'P1217',
    'U0100',
  ])('%s means nothing here', (typed) => {
    expect(means(typed)).toBeNull();
    expect(sourceOf(faultCodeIn(typed))).toBeNull();
  });

  it.each([
    ...[2, 3, 4, 5, 6, 8, 9, 10, 12, 13, 19, 20, 21].map((fmi) => `SPN 110 FMI ${fmi}`),
    ...['P0115', 'P0116', 'P0117', 'P0118', 'P0119'],
  ])('%s is about the sensor: it opens no inspection after overheating', (typed) => {
    expect(opens(typed)).toEqual(['temperature-sensor/test soon']);
  });

  it.each([
    [
      'SPN 110 FMI 0',
      ['head-gasket/test at-once', ...Array.from({ length: 5 }, () => 'coolant/inspect at-once')],
    ],
    ['SPN 110 FMI 15', ['coolant/inspect soon']],
    ['SPN 111 FMI 1', ['coolant/inspect at-once']],
    ['SPN 111 FMI 3', ['reservoir/test soon']],
    ['SPN 109 FMI 18', ['coolant/test at-once']],
    ['SPN 109 FMI 16', ['head-gasket/test at-once', 'coolant/inspect at-once']],
    ['P0128', ['thermostat/replace soon']],
    ['P0218', ['oil-cooler/inspect soon']],
  ])('%s opens %j', (typed, lines) => {
    expect(opens(typed)).toEqual(lines);
  });

  it('gives the source of each meaning', () => {
    const told = (code: string) => english(sourceOf(faultCodeIn(code))!);
    expect(told('SPN 111 FMI 1')).toBe('SAE J1939-71, SPN 111; SAE J1939-73, FMI 1');
    expect(told('P0217')).toBe('SAE J2012 / ISO 15031-6, P0217');
  });

  // Names: SAE J1939-71 and SAE J2012, as beside the table.
  it.each([
    ['SPN 110 FMI 0', 'engine', 'The engine overheated'],
    ['P0597', 'engine', 'Electrical fault of the thermostat'],
    ['SPN 3676 FMI 1', 'charge-air', 'Charge-air circuit: The coolant level is low'],
    ['P0A05', 'power-electronics', 'Power electronics circuit: Electrical fault of the coolant pump'],
    ['P0C45', 'battery', 'Battery circuit: The coolant temperature sensor or its wiring is faulty'],
    ['P0480', null, 'Electrical fault of the fan'],
    ['P0562', null, 'The charging voltage is low'],
    ['P0218', null, 'The transmission overheated'],
  ])('%s is about the circuit %s: %s', (typed, circuit, told) => {
    const code = faultCodeIn(typed);
    expect(circuitOf(code)).toBe(circuit);
    expect(english(toldMeaning(code)!)).toBe(told);
    expect(meaningForWork(code)).toBe(circuit === null || circuit === 'engine' ? means(typed) : null);
  });

  it('knows no circuit of a code that means nothing', () => {
    expect([circuitOf(faultCodeIn('P0420')), toldMeaning(faultCodeIn('P0420'))]).toEqual([null, null]);
  });

  it('has a word for each meaning, and each is the meaning of some code', () => {
    const found = new Set([
      ...KNOWN_OBD_CODES.map(means),
      ...KNOWN_SPNS.flatMap((spn) => Array.from({ length: 32 }, (_, fmi) => means(`SPN ${spn} FMI ${fmi}`))),
    ]);
    found.delete(null);
    expect([...found].sort()).toEqual([...FAULT_MEANINGS].sort());
    for (const meaning of FAULT_MEANINGS) expect(message.declared).toHaveProperty(`fault-${meaning}`);
  });
});
