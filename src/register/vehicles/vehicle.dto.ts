import { DUTIES } from '../../domain/intervals/types.js';
import { ApiProperty, ApiPropertyOptional, OmitType } from '@nestjs/swagger';
import { SAFETY_READINGS } from '../../domain/follow-ups/safety-findings.js';
import type { Quantity } from '../../domain/quantities/units.js';
import type { ReadingKind } from '../../domain/readings/kinds.js';
import { ByteOrderMark } from '../../platform/csv/csv-answer.js';
import {
  Amount,
  Amounts,
  Choice,
  CivilDate,
  Identifier,
  QuantityOf,
  Text,
} from '../../platform/fields/fields.js';
import { MessageView } from '../../platform/words/message.dto.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import { pageClass } from '../../platform/pages/pages.js';
import type { Duty, VehicleStatus } from '../../entities/vehicle.entity.js';

export const STATUSES = ['in-use', 'laid-up', 'disposed'] as const;
const WITHOUT = ['plan', 'sheet'] as const;
type Without = (typeof WITHOUT)[number];

export class VehicleInput {
  @Text({ max: 40, description: 'The number painted on it; unique in the fleet' }) unitNumber!: string;
  @Identifier({ optional: true }) depotId?: string | null;
  @Identifier({ optional: true }) specSheetId?: string | null;
  @Identifier({ optional: true }) intervalPlanId?: string | null;
  @Choice(DUTIES, { optional: true, description: 'normal unless given' }) duty?: Duty | null;
  @Choice(STATUSES, { optional: true, description: 'in-use unless given' }) status?: VehicleStatus | null;
  @Text({
    optional: true,
    max: 17,
    description:
      'Vehicle identification number. Its check digit is verified (49 CFR 565): a wrong one is refused where the first character is 1 to 5 or the first two 7F to 70, North America, and gives a notice elsewhere',
  })
  vin?: string | null;
  @Text({
    optional: true,
    max: 40,
    description:
      'Of a machine, in place of a VIN: its product identification number (PIN, ISO 10261) or the serial number on its plate',
    example: 'XYZ00420JKA012345',
  })
  serialNumber?: string | null;
  @Text({ optional: true, max: 80 }) make?: string | null;
  @Text({ optional: true, max: 80 }) model?: string | null;
  @Amount({ optional: true, min: 1900, max: 2100, integer: true }) modelYear?: number | null;
  @Identifier({
    optional: true,
    description: 'The carrier, for an auxiliary engine kept as a unit of its own',
  })
  mountedOn?: string | null;
  @Amounts({
    optional: true,
    min: 1,
    max: 12,
    maxItems: 12,
    integer: true,
    description: 'The months a seasonal vehicle works in',
  })
  inUseMonths?: number[] | null;
  @CivilDate({ optional: true }) inServiceOn?: string | null;
  @QuantityOf('distance', { optional: true }) inServiceOdometer?: Quantity | null;
  @QuantityOf('engine-hours', { optional: true }) inServiceEngineHours?: Quantity | null;
  @QuantityOf('distance', {
    optional: true,
    max: 2400,
    description: 'Expected per day, until there are readings',
  })
  expectedDailyDistance?: Quantity | null;
  @QuantityOf('engine-hours', { optional: true, max: 24 }) expectedDailyEngineHours?: Quantity | null;
  @QuantityOf('temperature', { optional: true, min: -70, max: 30, description: "In place of the depot's" })
  designLowTemperature?: Quantity | null;
}

export class VehicleNotice {
  @ApiProperty({ description: 'The field it is about', example: '/vin' }) pointer!: string;
  @ApiPropertyOptional({ description: 'Stable; what the detail says' }) code?: string;
  @ApiPropertyOptional({
    type: 'object',
    additionalProperties: true,
    description: 'The values in the detail, as data',
  })
  values?: Record<string, unknown>;
  @ApiProperty({ description: 'In plain words, in the language of the answer' }) detail!: string;
}

/** A failed safety reading with which the vehicle was released, and that is not settled yet. */
export class OpenFindingView {
  @ApiProperty({ format: 'uuid' }) readingId!: string;
  @ApiProperty({ format: 'uuid', description: 'The report that released the vehicle' }) jobReportId!: string;
  @ApiProperty({ enum: SAFETY_READINGS }) kind!: ReadingKind;
  @ApiProperty({ format: 'date-time' }) takenAt!: string;
  @ApiProperty({ type: () => MessageView, description: 'A term, such as "a failed pressure test"' })
  what!: MessageView;
  @ApiProperty({
    type: () => MessageView,
    description: 'What settles it: the words after "until", such as "it passes a pressure test"',
  })
  until!: MessageView;
  @ApiProperty({ type: () => [MessageView] }) reasons!: MessageView[];
  @ApiProperty({
    type: 'string',
    format: 'uuid',
    isArray: true,
    description: 'The due lines that stay open until it is settled',
  })
  dueLineIds!: string[];
}

export class ReleasedWithFindingsView {
  @ApiProperty({ type: () => MessageView, description: 'What is wrong, and what to do' })
  message!: MessageView;
  @ApiProperty({ format: 'date-time', description: 'When the first of them was found' }) since!: string;
  @ApiProperty({ type: () => [OpenFindingView], description: 'The oldest first' })
  findings!: OpenFindingView[];
}

export class VehicleView extends VehicleInput {
  @ApiProperty({
    type: () => ReleasedWithFindingsView,
    nullable: true,
    description:
      'Released for service beside failed safety readings that are not settled yet: keep it parked; null where there are none',
  })
  releasedWithFindings!: ReleasedWithFindingsView | null;
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() version!: number;
  @ApiProperty({
    type: () => [VehicleNotice],
    description: 'What to check; the vehicle was accepted anyway',
  })
  notices!: VehicleNotice[];
}

/** A patch can also say from which day a change of depot, duty, plan, sheet or status applies. */
export class VehiclePatch extends VehicleInput {
  @CivilDate({
    optional: true,
    description: 'First day of a change of depot, duty, plan, sheet or status; today unless given',
  })
  effectiveOn?: string;
}

export class VehicleQuery extends PageQueryDto {
  @Identifier({ optional: true }) depotId?: string;
  @Choice(STATUSES, { optional: true }) status?: string;
  @Text({ optional: true, max: 40 }) unitNumber?: string;
  @Choice(['with-findings'], {
    optional: true,
    description: 'Only vehicles that were released with safety findings that are still open',
  })
  released?: 'with-findings';
  @Choice(WITHOUT, {
    optional: true,
    description: 'Only vehicles that no interval plan, or no spec sheet, is assigned to',
  })
  without?: Without;
  @Text({
    optional: true,
    max: 60,
    description:
      'Part of the unit number, make, model, VIN or serial number. Of a unit number or a VIN, blanks, hyphens and the like do not matter: cx 038 finds CX-038',
  })
  q?: string;
}

/** The filters of the list, for the whole list in one file. */
export class VehicleCsvQuery extends OmitType(VehicleQuery, ['limit', 'cursor']) {
  @ByteOrderMark() bom?: string;
}

export const VehiclePage = pageClass(VehicleView, 'VehiclePage');
