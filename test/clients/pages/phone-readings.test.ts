import { KIND_FORMS } from '../../../clients/pages/src/phone/readings/kind-forms.js';
import {
  canonicalReading,
  numberTyped,
  postedOf,
  type TypedReading,
  unitsFor,
} from '../../../clients/pages/src/phone/readings/typed-reading.js';
import { READING_KINDS } from '../../../src/domain/readings/kinds.js';
import { postedKindOf } from '../../../src/facts/readings/posted-kinds.js';
import { validated } from '../../../src/platform/input/validation.pipe.js';

/** What is typed into every field of a kind. @param turn chooses another unit and another option */
function typedWith(kind: TypedReading['kind'], turn: number): TypedReading {
  const given: Record<string, string> = kind === 'torque-set' ? { fastener: 'pump-to-cover' } : {};
  const typed = { key: kind, kind, given, values: {} as Record<string, string>, units: {} };
  for (const field of KIND_FORMS[kind].fields) {
    const pick = <T>(options: readonly T[]): T | undefined => options[turn % options.length];
    if (field.is === 'flag') typed.values[field.name] = turn % 2 === 0 ? 'yes' : 'no';
    else if (field.is === 'choice') typed.values[field.name] = pick(field.of) ?? '';
    else if (field.is === 'torques') Object.assign(typed.values, { setTo: '11.5', count: '9' });
    else typed.values[field.name] = '13.5';
    const unit = pick(unitsFor(field, typed));
    if (unit !== undefined) Object.assign(typed.units, { [field.name]: unit });
  }
  return typed;
}

/** Nothing says the same as null. */
const told = (reading: object): Record<string, unknown> =>
  Object.fromEntries(Object.entries(reading).filter(([, value]) => value !== null && value !== undefined));

describe('a reading typed on the phone', () => {
  for (const kind of READING_KINDS)
    for (const turn of [0, 1, 2, 3])
      it(`is understood as the service understands it: ${kind}, ${turn}`, async () => {
        const posted = postedOf(typedWith(kind, turn));
        const service = postedKindOf(kind);
        if (service === null) throw new Error(`the service takes no ${kind}`);
        const read = await validated(service.input, posted, '');
        expect(told(canonicalReading(posted))).toEqual(told(service.canonical(read)));
      });

  it('has a number with a point or a comma, and none that could be two numbers', () => {
    expect(numberTyped('8.1')).toBe(8.1);
    expect(numberTyped('8,1')).toBe(8.1);
    expect(numberTyped('-34')).toBe(-34);
    expect(numberTyped('61,000')).toBeNull();
    expect(numberTyped('8 psi')).toBeNull();
  });
});
