import type { FaultCode } from '../../../domain/faults/fault-sighting.js';
import type { Message } from '../../../domain/message.js';
import { canonical, type MeasureKind } from '../../../domain/quantities/measures.js';
import { requireCoolantTemperature } from '../../../domain/quantities/plausible.js';
import { convert, type Unit } from '../../../domain/quantities/units.js';
import { ImpossibleValue } from '../../../domain/impossible-value.js';
import { quantityFault } from '../../../platform/fields/quantity-fault.js';
import { instantFault } from '../../../platform/fields/instant-fault.js';
import { MOST_CHARACTERS, MOST_REFUSED, shownText } from './limits.js';
import type { MachineIdentity, MachineReport, Refusal, SourcePage } from './machine-report.js';
import { message } from './messages.js';

/** A text of the document and where it is; the text is null where the document has none. */
export interface Found {
  text: string | null;
  path: string;
}

/** A decimal number as XML Schema and JSON write it. NaN and INF are not among them. */
const NUMBER = /^[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d{1,3})?$/;
const LONGEST_NUMBER = 40;
/** Control characters and halves of surrogate pairs, which cannot be stored. */
const UNUSABLE = /[\p{Cc}\p{Cs}]/u;
const UNUSABLE_EACH = /[\p{Cc}\p{Cs}]/gu;

/** Collects what a page says, machine by machine, and what had to be refused. */
export class PageBuilder {
  readonly #machines: MachineReport[] = [];
  readonly #refused: Refusal[] = [];
  #count = 0;

  /** Adds a machine. @returns null, and refuses it, where nothing names it */
  machine(identity: MachineIdentity, path: string, fields: readonly string[]): ReportBuilder | null {
    const { vin, serialNumber, equipmentId } = identity;
    if (vin === null && serialNumber === null && equipmentId === null) {
      this.refuse(path, message('telematics-machine-unnamed', { fields }));
      return null;
    }
    const report = reportOf(identity);
    this.#machines.push(report);
    return new ReportBuilder(report, this);
  }

  /** A machine whose name the page does not give: the caller asked for this one. */
  unnamed(): ReportBuilder {
    const report = reportOf(NOBODY);
    this.#machines.push(report);
    return new ReportBuilder(report, this);
  }

  /** @param of the machine's refusals, if the machine has a name */
  refuse(path: string, why: Message, of: Refusal[] = this.#refused): void {
    if (++this.#count <= MOST_REFUSED) of.push({ path, why: storable(why) });
  }

  /**
   * A name or a number that names something, without the spaces around it. Refuses what is too long
   * or cannot be stored.
   */
  name({ text, path }: Found): string | null {
    const name = text?.trim() ?? '';
    if (name === '') return null;
    if (name.length <= MOST_CHARACTERS && !UNUSABLE.test(name)) return name;
    const given = shownText(name);
    this.refuse(path, message('telematics-text-unusable', { given, most: MOST_CHARACTERS }));
    return null;
  }

  page(next: string | null): SourcePage {
    const leftOut = this.#count - MOST_REFUSED;
    if (leftOut > 0)
      this.#refused.push({ path: '', why: message('telematics-more-refused', { count: leftOut }) });
    return { machines: this.#machines, next, refused: this.#refused };
  }
}

/** A message whose texts can be stored, whatever the document had in the value that they quote. */
function storable({ code, values }: Message): Message {
  const kept = Object.entries(values).map(([name, value]) => [
    name,
    typeof value === 'string' ? value.replaceAll(UNUSABLE_EACH, '\uFFFD') : value,
  ]);
  return { code, values: Object.fromEntries(kept) };
}

const NOBODY: MachineIdentity = {
  vin: null,
  serialNumber: null,
  equipmentId: null,
  make: null,
  model: null,
};

const reportOf = (identity: MachineIdentity): MachineReport => ({
  ...{ identity, odometerKm: [], engineHours: [], coolantC: [], faults: [], refused: [] },
});

/** Takes the values of one machine, each only with its instant, its unit and a possible amount. */
export class ReportBuilder {
  constructor(
    readonly report: MachineReport,
    private readonly page: PageBuilder,
  ) {}

  /** The same instant of several values is refused once. */
  refuse(path: string, why: Message): null {
    if (this.report.refused.at(-1)?.path !== path) this.page.refuse(path, why, this.report.refused);
    return null;
  }

  odometer(at: Found, amount: Found, unit: Unit): void {
    this.#counter('distance', this.report.odometerKm, at, amount, unit);
  }

  engineHours(at: Found, amount: Found): void {
    this.#counter('engine-hours', this.report.engineHours, at, amount, 'h');
  }

  coolant(at: Found, amount: Found, unit: Unit): void {
    const value = this.number(amount);
    const instant = this.instant(at);
    if (value === null || instant === null) return;
    try {
      const valueC = requireCoolantTemperature('temperature', convert(value, unit, 'C'));
      this.report.coolantC.push({ at: instant, value: valueC });
    } catch (error) {
      if (!(error instanceof ImpossibleValue)) throw error;
      this.refuse(amount.path, error.detail);
    }
  }

  fault(
    at: Found,
    code: FaultCode,
    about: { isActive: boolean; occurrences?: number | null; lamp?: string },
  ): void {
    const instant = this.instant(at);
    if (instant === null) return;
    this.report.faults.push({ at: instant, code, occurrences: null, ...about });
  }

  /** An instant with its zone, as epoch milliseconds. */
  instant({ text, path }: Found): number | null {
    const given = text?.trim() ?? '';
    const fault = instantFault(given === '' ? null : shownText(given));
    if (fault !== null) return this.refuse(path, fault);
    return Date.parse(given.replace(' ', 'T').toUpperCase());
  }

  number({ text, path }: Found): number | null {
    const given = text?.trim() ?? '';
    if (given === '') return this.refuse(path, message('telematics-value-missing'));
    const value = given.length <= LONGEST_NUMBER && NUMBER.test(given) ? Number(given) : NaN;
    if (Number.isFinite(value)) return value;
    return this.refuse(path, message('telematics-not-a-number', { given: shownText(given) }));
  }

  #counter(
    kind: MeasureKind,
    taken: { at: number; value: number }[],
    at: Found,
    amount: Found,
    unit: Unit,
  ): void {
    const value = this.number(amount);
    const instant = this.instant(at);
    if (value === null || instant === null) return;
    const fault = quantityFault({ value, unit }, kind);
    if (fault !== null) this.refuse(amount.path, fault);
    else taken.push({ at: instant, value: canonical(kind, { value, unit }) });
  }
}
