import type { Draft, Shape } from '../../record-form/shape.js';
import { CIRCUIT } from './circuit-shape.js';
import { torqueInWords } from './gists.js';
import { message } from './messages.js';
import { CIRCUIT_NAMES, COMPONENT_NAMES } from './names.js';
import { titledBy } from './titles.js';

const named = ({ typed: { name = '' } }: Draft): string => name.trim();

const FASTENER: Shape = [
  { is: 'text', name: 'name', label: message('desk-sheet-fastener-name') },
  { is: 'number', name: 'count', label: message('desk-sheet-fastener-count') },
  {
    ...{ is: 'choice', name: 'component', choices: COMPONENT_NAMES, isOptional: true },
    label: message('desk-sheet-fastener-component'),
  },
  { is: 'quantity', name: 'torque', measure: 'torque', label: message('desk-sheet-torque') },
  { is: 'number', name: 'tolerancePercent', unit: '%', label: message('desk-sheet-torque-tolerance') },
  { is: 'quantity', name: 'min', measure: 'torque', label: message('desk-sheet-torque-min') },
  { is: 'quantity', name: 'max', measure: 'torque', label: message('desk-sheet-torque-max') },
  { is: 'text', name: 'angle', label: message('desk-sheet-torque-angle') },
];

const TENSION_RANGE: Shape = [
  { is: 'number', name: 'frequencyMinHz', unit: 'Hz', label: message('desk-sheet-frequency-min') },
  { is: 'number', name: 'frequencyMaxHz', unit: 'Hz', label: message('desk-sheet-frequency-max') },
  { is: 'quantity', name: 'deflectionMin', measure: 'size', label: message('desk-sheet-deflection-min') },
  { is: 'quantity', name: 'deflectionMax', measure: 'size', label: message('desk-sheet-deflection-max') },
];

const TENSION: Shape = [
  { is: 'group', name: 'inService', shape: TENSION_RANGE, label: message('desk-sheet-tension-in-service') },
  { is: 'group', name: 'newBelt', shape: TENSION_RANGE, label: message('desk-sheet-tension-new') },
  {
    is: 'quantity',
    name: 'deflectionForce',
    measure: 'force',
    label: message('desk-sheet-deflection-force'),
  },
  { is: 'number', name: 'massKgPerM', unit: 'kg/m', label: message('desk-sheet-belt-mass') },
];

const BELT: Shape = [
  { is: 'text', name: 'name', label: message('desk-sheet-belt-name') },
  { is: 'text', name: 'designation', label: message('desk-sheet-belt-designation') },
  { is: 'quantity', name: 'tensionerArmSwingMax', measure: 'size', label: message('desk-sheet-arm-swing') },
  { is: 'group', name: 'tension', shape: TENSION, label: message('desk-sheet-tension') },
];

/** What a spec sheet consists of. */
export const SHEET: Shape = [
  { is: 'text', name: 'name', label: message('desk-kept-name') },
  {
    ...{ is: 'choice', name: 'circuit', preset: 'engine', choices: CIRCUIT_NAMES },
    label: message('desk-sheet-first-circuit'),
  },
  { is: 'text', name: 'circuitNote', label: message('desk-sheet-circuit-note') },
  ...CIRCUIT,
  {
    ...{ is: 'list', name: 'fasteners', shape: FASTENER, titleOf: named, gist: torqueInWords },
    ...{ label: message('desk-sheet-fasteners'), add: message('desk-sheet-add-fastener') },
  },
  {
    ...{ is: 'list', name: 'belts', shape: BELT, titleOf: named },
    gist: ({ typed: { designation = '' } }) => designation,
    ...{ label: message('desk-sheet-belts'), add: message('desk-sheet-add-belt') },
  },
  { is: 'lines', name: 'hoses', label: message('desk-sheet-hoses') },
  {
    ...{ is: 'list', name: 'otherCircuits', label: message('desk-sheet-other-circuits') },
    titleOf: ({ typed: { circuit } }) => titledBy(CIRCUIT_NAMES, circuit),
    add: message('desk-sheet-add-circuit'),
    shape: [
      { is: 'choice', name: 'circuit', choices: CIRCUIT_NAMES, label: message('desk-sheet-circuit') },
      ...CIRCUIT,
    ],
  },
];
