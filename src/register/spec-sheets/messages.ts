import { messages } from '../../domain/message.js';

const TWO_MEASURES = { given: 'measure', limit: 'measure' } as const;

export const message = messages({
  'sheet-circuit-is-first': { circuit: 'text' },
  'sheet-circuit-twice': { circuit: 'text', position: 'number' },
  'sheet-circuit-takes-first-place': { circuit: 'text', first: 'text' },
  'sheet-drainable-above-capacity': TWO_MEASURES,
  'sheet-strength-above-greatest': { given: 'number', limit: 'number', limitIs: ['given', 'usual'] },
  'sheet-temperature-unlikely': {
    given: 'measure',
    what: ['thermostatOpens', 'highTemperatureAlarm'],
    low: 'measure',
    high: 'measure',
  },
  'sheet-temperature-other-unit': {
    given: 'measure',
    what: ['thermostatOpens', 'highTemperatureAlarm'],
    low: 'measure',
    high: 'measure',
    meant: 'text',
  },
  'sheet-alarm-below-thermostat': TWO_MEASURES,
  'sheet-marks-above-capacity': TWO_MEASURES,
  'sheet-additive-raises-nothing': {},
  'sheet-limits-crossed': { given: 'number', field: 'text', limit: 'number' },
  'sheet-loss-none-allowed': { given: 'measure' },
  'sheet-loss-as-much-as-all': {
    given: 'measure',
    all: 'measure',
    method: ['vacuum', 'pressure'],
  },
  'sheet-pressure-tests-nothing': { pressure: 'measure' },
  'sheet-torque-half-given': { given: ['min', 'max'] },
  'sheet-torque-missing': {},
  'sheet-torque-limits-crossed': { given: 'measure', max: 'measure' },
  'sheet-torque-tolerance-twice': {},
  'sheet-torque-outside-limits': { given: 'measure', min: 'measure', max: 'measure' },
});
