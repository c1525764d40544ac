import { messages } from '../message.js';

export const message = messages({
  'pick-coolant-not-known': {},
  'pick-never-mix': {},
  'pick-own-containers': {},
  'basis-pick-containers-us': {},
  'basis-pick-containers-si': {},
  // The tools.
  'tool-lock-out-set': {},
  'tool-catch-pan': {},
  'tool-refractometer': {},
  'tool-inhibitor-test': {},
  'tool-conductivity-meter': {},
  'tool-combustion-gas-tester': {},
  'tool-vacuum-filler': {},
  'tool-pressure-tester': {},
  'tool-torque-wrench': {},
  'tool-belt-frequency-meter': {},
  'tool-belt-tension-gauge': {},
  'tool-measuring-jug': {},
});
