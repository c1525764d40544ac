import type { FaultCode } from '../../../domain/faults/fault-sighting.js';
import { faultCodeIn } from '../../../domain/faults/fault-code.js';
import { ImpossibleValue } from '../../../domain/impossible-value.js';
import type { Message } from '../../../domain/message.js';
import { type Placed, textBelow } from './document-node.js';
import { shownText } from './limits.js';
import { message } from './messages.js';
import type { ReportBuilder } from './report-builder.js';

/**
 * The coding systems that a `CodeSource` can name and whose codes mean the same on every machine.
 * Any other source is the machine maker's own, and the same number can mean anything there.
 *
 * Source of the field: ISO/TS 15143-3, fault code (from memory of it; the words that servers write
 * there are not listed in what could be checked). Of the systems: SAE J1939-73, SAE J2012 / ISO
 * 15031-6.
 */
const SYSTEMS: readonly { named: RegExp; system: FaultCode['system'] }[] = [
  { named: /\bJ[\s-]?1939\b/i, system: 'j1939' },
  { named: /\bJ[\s-]?2012\b|\b15031-6\b/i, system: 'obd' },
];

/**
 * Takes one `FaultCode` element: CodeIdentifier, CodeSource and the instant. The standard reports
 * when a code was raised and has no word for one that is gone, so it is always active.
 */
export function takeIsoFault(fault: Placed, builder: ReportBuilder): void {
  const identifier = textBelow(fault, 'CodeIdentifier');
  const code = identifier.text?.trim() ?? '';
  if (code === '') {
    builder.refuse(identifier.path, message('telematics-value-missing'));
    return;
  }
  const source = textBelow(fault, 'CodeSource');
  const read = codeIn(code, source.text?.trim() ?? '');
  if ('why' in read) builder.refuse(read.isOfSource ? source.path : identifier.path, read.why);
  else builder.fault(textBelow(fault, 'datetime'), read.code, { isActive: true });
}

type ReadCode = { code: FaultCode } | { why: Message; isOfSource: boolean };

/**
 * @example codeIn('110-0', 'J1939') // { code: SPN 110 FMI 0 }
 * @example codeIn('110-0', 'E4') // { why: telematics-fault-source-unknown }
 */
function codeIn(given: string, source: string): ReadCode {
  const code = shownText(given);
  if (source === '') return { why: message('telematics-fault-source-missing', { code }), isOfSource: true };
  const known = SYSTEMS.find(({ named }) => named.test(source));
  if (known === undefined) {
    const why = message('telematics-fault-source-unknown', { source: shownText(source), code });
    return { why, isOfSource: true };
  }
  try {
    const read = faultCodeIn(given);
    if (read.system === known.system) return { code: read };
    const why = message('telematics-fault-other-form', { source: shownText(source), code });
    return { why, isOfSource: false };
  } catch (error) {
    if (!(error instanceof ImpossibleValue)) throw error;
    return { why: error.detail, isOfSource: false };
  }
}
