/** The line that each piece of news takes in an e-mail, from what its message says. */

interface Vehicle {
  unitNumber: string;
}
interface Quantity {
  value: number;
  unit: string;
}
/** What is told of a message. */
interface Told {
  text: string;
}
export interface DueLine {
  vehicle: Vehicle;
  component: string;
  item: string | null;
  action: string;
  state: string;
  dueOn: string | null;
  lateOn: string | null;
  atOnce: boolean;
  causes: Told[];
  dueAt: { odometer: Quantity | null; engineHours: Quantity | null };
  releasedWithFindings: boolean;
}
export interface Alert {
  kind: string;
  vehicle: Vehicle | null;
  members: string[];
  evidence: { text: string }[];
  checkNext: string[];
  cautions: string[];
}
export interface Reading {
  /** That the vehicle was released with it, and what to do. */
  warning: Told | null;
  vehicle: Vehicle;
  kind: string;
  takenAt: string;
  evaluation: { reasons: Told[]; cautions: Told[] };
}
export interface HeldReading {
  vehicle: Vehicle;
  readAt: string;
  odometer: Quantity | null;
  engineHours: Quantity | null;
  detail: Told | null;
}
export interface Trouble {
  kind: string;
  text: string;
  reminderTarget: { address: string } | null;
}

const STATES: Record<string, string> = { window: 'in its window', due: 'due', late: 'late' };

const texts = (said: readonly Told[]): string => said.map(({ text }) => text).join(' ');

const amount = (quantity: Quantity | null): string[] =>
  quantity ? [`${Math.round(quantity.value * 10) / 10} ${quantity.unit}`] : [];

export function workOf({ component, item, action }: DueLine): string {
  return `${component}${item ? ` (${item})` : ''}: ${action}`;
}

/** One that was put off waits in its window, like any other line. */
export const isAtOnce = ({ state, atOnce }: DueLine): boolean => atOnce && state !== 'window';

export function stateOf(line: DueLine): string {
  const state = STATES[line.state] ?? line.state;
  if (!isAtOnce(line)) return state;
  return line.state === 'late' ? 'late, do it at once' : `${state} at once`;
}

export function dueLineText(line: DueLine): string {
  const points = [
    ...(line.dueOn ? [line.dueOn] : []),
    ...amount(line.dueAt.odometer),
    ...amount(line.dueAt.engineHours),
  ];
  const why = line.causes.length === 0 ? '' : `. Why: ${texts(line.causes)}`;
  const stop = why === '' ? '.' : '';
  const released = line.releasedWithFindings
    ? `${stop} The vehicle is released with open safety findings.`
    : '';
  return `${line.vehicle.unitNumber}: ${workOf(line)}, ${stateOf(line)}; due ${points.join(' or ')}${why}${released}`;
}

const whoseAlert = ({ vehicle, members }: Alert): string =>
  vehicle?.unitNumber ?? `${members.length} vehicles`;

export const alertText = (alert: Alert): string => `${whoseAlert(alert)}: ${alert.kind}`;
export const readingText = ({ warning, vehicle, kind, takenAt, evaluation }: Reading): string =>
  `${vehicle.unitNumber}: ${warning ? `${warning.text} ` : ''}${kind} of ${takenAt} failed. ${texts(evaluation.reasons)}`;
export const heldText = ({ vehicle, readAt, odometer, engineHours, detail }: HeldReading): string =>
  `${vehicle.unitNumber}: ${[...amount(odometer), ...amount(engineHours)].join(', ')} of ${readAt} is held. ${detail?.text ?? ''}`;
