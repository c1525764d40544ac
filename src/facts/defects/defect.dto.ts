import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import {
  DEFECT_SOURCES,
  DEFECT_STATES,
  type DefectSource,
  type DefectState,
} from '../../domain/defects/defect.js';
import { DRIVING, type Driving } from '../../domain/defects/driving.js';
import { ACTIONS, COMPONENTS } from '../../domain/intervals/types.js';
import type { Quantity } from '../../domain/quantities/units.js';
import { QuantityOf } from '../../platform/fields/fields.js';
import { pageClass } from '../../platform/pages/pages.js';
import { MessageView } from '../../platform/words/message.dto.js';
import { AttachmentView } from '../attachments/attachment.dto.js';

const text = { type: 'string', nullable: true } as const;

export class DefectDecisionView {
  @ApiProperty({ enum: ['triage', 'dismiss'] }) kind!: 'triage' | 'dismiss';
  @ApiProperty({ format: 'date-time' }) at!: string;
  @ApiProperty({ description: 'Name or badge' }) decidedBy!: string;
  @ApiProperty({ enum: COMPONENTS, nullable: true, type: String, description: 'Of a triage: the work' })
  component!: string | null;
  @ApiProperty({ enum: ACTIONS, nullable: true, type: String }) action!: string | null;
  @ApiProperty(text) item!: string | null;
  @ApiProperty({ ...text, format: 'date', description: 'By when; null: at once' }) dueOn!: string | null;
  @ApiProperty({ type: Boolean, nullable: true, description: 'The vehicle must not be driven until then' })
  vehicleStays!: boolean | null;
  @ApiProperty({ ...text, description: 'Why it need not be repaired, or the note of a triage' })
  reason!: string | null;
}

export class DefectCertificateView {
  @ApiProperty({ enum: ['repaired', 'repair-unnecessary'] }) outcome!: 'repaired' | 'repair-unnecessary';
  @ApiProperty({ ...text, description: 'Name or badge; null where a job report does not say' })
  certifiedBy!: string | null;
  @ApiProperty({ format: 'date-time' }) at!: string;
  @ApiProperty({ ...text, format: 'uuid', description: 'The job that repaired it' })
  jobReportId!: string | null;
  @ApiProperty({ ...text, description: 'Why it need not be repaired' }) reason!: string | null;
}

export class DefectDrivingView {
  @ApiProperty({
    enum: DRIVING,
    description:
      'undecided: nobody has looked yet, so do not drive; stays: not until it is repaired; not-held: this defect does not hold the vehicle, others may',
  })
  decision!: Driving;
  @ApiProperty({ ...text, description: 'Who decided it' }) decidedBy!: string | null;
  @ApiProperty({ ...text, format: 'date-time' }) at!: string | null;
  @ApiProperty({ type: () => MessageView, description: 'For the driver' }) message!: MessageView;
}

export class DefectLineView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ enum: COMPONENTS }) component!: string;
  @ApiProperty({ enum: ACTIONS }) action!: string;
  @ApiProperty(text) item!: string | null;
  @ApiProperty({ description: 'Due the day that it was opened' }) atOnce!: boolean;
  @ApiProperty({ ...text, format: 'date' }) dueOn!: string | null;
}

export class DefectTopUpView {
  @QuantityOf('volume', { optional: true, description: 'About how much; null: not said' })
  added!: Quantity | null;
  @ApiProperty({
    ...text,
    format: 'uuid',
    description: 'The reading that counts it; null: nobody has accepted it, so it counts for nothing',
  })
  readingId!: string | null;
}

export class DefectView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ format: 'uuid' }) vehicleId!: string;
  @ApiProperty() unitNumber!: string;
  @ApiProperty({
    enum: DEFECT_STATES,
    description: 'reported: nobody has decided yet. triaged: it is to be repaired',
  })
  state!: DefectState;
  @ApiProperty({ description: 'What is wrong, as it was reported' }) what!: string;
  @ApiProperty({ enum: DEFECT_SOURCES }) source!: DefectSource;
  @ApiProperty({
    enum: ['account', 'label'],
    description:
      'label: by the label on the vehicle, so nobody knows by whom; look at it before anything else',
  })
  origin!: 'account' | 'label';
  @ApiProperty({
    type: () => DefectTopUpView,
    nullable: true,
    description: 'Coolant or water that whoever reported it added; null: none',
  })
  topUp!: DefectTopUpView | null;
  @ApiProperty({ enum: COMPONENTS, nullable: true, type: String, description: 'What it seemed to be about' })
  component!: string | null;
  @ApiProperty({ enum: ACTIONS, nullable: true, type: String, description: 'What seemed to be needed' })
  action!: string | null;
  @ApiProperty(text) item!: string | null;
  @ApiProperty({ format: 'date-time' }) reportedAt!: string;
  @ApiProperty({ format: 'date-time' }) receivedAt!: string;
  @ApiProperty({ ...text, description: 'Name or badge' }) reportedBy!: string | null;
  @QuantityOf('distance', { optional: true }) odometer!: Quantity | null;
  @QuantityOf('engine-hours', { optional: true }) engineHours!: Quantity | null;
  @ApiProperty({ type: () => DefectDrivingView, description: 'Whether the vehicle may be driven with it' })
  driving!: DefectDrivingView;
  @ApiProperty({
    type: () => DefectCertificateView,
    nullable: true,
    description: 'That it was repaired, or need not be; null until then',
  })
  certificate!: DefectCertificateView | null;
  @ApiProperty({ type: () => [DefectDecisionView], description: 'Earliest first; the last one counts' })
  decisions!: DefectDecisionView[];
  @ApiProperty({ type: () => [DefectLineView], description: 'The due lines that are open because of it' })
  followUps!: DefectLineView[];
  @ApiProperty({ type: () => [AttachmentView] }) attachments!: AttachmentView[];
  @ApiProperty({ type: () => [MessageView], description: 'For the driver; none once it is settled' })
  cautions!: MessageView[];
}

export const DefectPage = pageClass(DefectView, 'DefectPage');

export class DefectBatchItem {
  @ApiProperty() index!: number;
  @ApiProperty({
    enum: [201, 200, 409, 422, 500],
    description:
      'Status of this defect; 500 is a fault of the service, which was logged: send the defect again later',
  })
  status!: number;
  @ApiProperty({ type: () => DefectView, required: false }) defect?: DefectView;
  @ApiPropertyOptional({ type: 'object', additionalProperties: true }) problem?: Record<string, unknown>;
}

export class DefectBatchResult {
  @ApiProperty({ type: () => [DefectBatchItem] }) results!: DefectBatchItem[];
}
