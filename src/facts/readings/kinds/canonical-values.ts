import type { Quantity } from '../../../domain/quantities/units.js';
import { canonicalOf } from '../../../domain/quantities/given.js';

type Typed = Quantity | null | undefined;

export const kpa = (typed: Typed): number | null => canonicalOf('pressure', typed);
export const celsius = (typed: Typed): number | null => canonicalOf('temperature', typed);
export const litres = (typed: Typed): number | null => canonicalOf('volume', typed);
export const newtons = (typed: Typed): number | null => canonicalOf('force', typed);
export const millimetres = (typed: Typed): number | null => canonicalOf('size', typed);
