import { ApiProperty } from '@nestjs/swagger';
import { DRIVER_LABELS, type DriverLabels } from '../../domain/defects/label-report.js';
import { Choice, Identifier, IdentifierList } from '../../platform/fields/fields.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import { pageClass } from '../../platform/pages/pages.js';

export const LABEL_FORMATS = ['json', 'html'] as const;
/** What an address still holds. */
const MOST_NAMED = 100;
export type LabelFormat = (typeof LABEL_FORMATS)[number];

const FORMAT = { optional: true, description: 'html: to print. By the Accept header unless given' } as const;

export class LabelQuery {
  @Choice(LABEL_FORMATS, FORMAT) format?: LabelFormat;
}

export class LabelsQuery extends PageQueryDto {
  @Identifier({ optional: true, description: "The vehicles' depot" }) depotId?: string;
  @IdentifierList({
    optional: true,
    maxItems: MOST_NAMED,
    description: `Only the labels of these vehicles: up to ${MOST_NAMED} ids, separated by commas`,
  })
  vehicleIds?: string;
  @Choice(LABEL_FORMATS, FORMAT) format?: LabelFormat;
}

export class LabelsInput {
  @Identifier({ optional: true, description: 'Only the vehicles of this depot' }) depotId?: string | null;
}

export class LabelsMade {
  @ApiProperty({ description: 'How many vehicles got a label' }) made!: number;
  @ApiProperty({ description: 'Whether none is left without a label; if not, send the request again' })
  complete!: boolean;
}

export class LabelView {
  @ApiProperty({ format: 'uuid' }) vehicleId!: string;
  @ApiProperty() unitNumber!: string;
  @ApiProperty({
    format: 'uri',
    description: 'What the QR code says. Whoever knows it can report defects of the vehicle',
  })
  address!: string;
  @ApiProperty({ format: 'date-time' }) madeAt!: string;
  @ApiProperty({ enum: DRIVER_LABELS, description: "The fleet's driverLabels; with none, it does not work" })
  takes!: DriverLabels;
}

export const LabelPage = pageClass(LabelView, 'LabelPage');
