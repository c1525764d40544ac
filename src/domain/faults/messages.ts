import { messages } from '../message.js';

export const message = messages({
  'fault-code-unreadable': {},
  'fault-code-without-fmi': {},
  'fault-code-too-great': { part: 'text', value: 'number', most: 'number' },

  'fault-source-j1939': { spn: 'text', fmi: 'text' },
  'fault-source-obd': { code: 'text' },

  // What a code means.
  'fault-overheated': {},
  'fault-ran-hot': {},
  'fault-runs-cold': {},
  'fault-level-low': {},
  'fault-level-falling': {},
  'fault-pressure-low': {},
  'fault-pressure-falling': {},
  'fault-pressure-high': {},
  'fault-flow-low': {},
  'fault-cooling-performance': {},
  'fault-fan-still': {},
  'fault-fan-fast': {},
  'fault-fan-circuit': {},
  'fault-thermostat-stuck': {},
  'fault-thermostat-circuit': {},
  'fault-pump-circuit': {},
  'fault-filter-blocked': {},
  'fault-not-charging': {},
  'fault-temperature-sensor': {},
  'fault-level-sensor': {},
  'fault-pressure-sensor': {},
  'fault-transmission-hot': {},

  // A fault of another circuit than the engine's.
  'fault-of-circuit': { circuit: 'message', what: 'message' },
  'fault-circuit-charge-air': {},
  'fault-circuit-power-electronics': {},
  'fault-circuit-battery': {},
  'fault-circuit-cabin': {},
});
