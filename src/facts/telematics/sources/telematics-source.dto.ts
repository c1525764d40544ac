import { ApiProperty } from '@nestjs/swagger';
import {
  SIGN_INS,
  type SignIn,
  SOURCE_KINDS,
  type SourceKind,
} from '../../../entities/telematics-source.entity.js';
import { Amount, Choice, Flag, Nested, Text } from '../../../platform/fields/fields.js';
import { pageClass } from '../../../platform/pages/pages.js';
import { MessageView } from '../../../platform/words/message.dto.js';

export const DEFAULT_MINUTES = 60;

export class SourceSignIn {
  @Choice(SIGN_INS, {
    description: 'basic: user name and password; bearer: a token; oauth2: client credentials (RFC 6749)',
  })
  kind!: SignIn;
  @Text({ optional: true, max: 200, description: 'The user name; with oauth2 the client id' })
  userName?: string | null;
  @Text({
    optional: true,
    max: 2000,
    description: 'The password, the token, or the client secret. No answer ever shows it',
  })
  secret?: string | null;
  @Text({ optional: true, max: 2000, description: 'With oauth2: the address that gives access tokens' })
  tokenAddress?: string | null;
  @Text({ optional: true, max: 500, description: 'With oauth2: the scope to ask for' })
  scope?: string | null;
}

export class TelematicsSourceInput {
  @Text({ max: 120, example: 'Yard machines' }) name!: string;
  @Choice(SOURCE_KINDS, {
    description:
      'iso-15143-3: a fleet snapshot by ISO/TS 15143-3; rfms-4: vehicle statuses by rFMS 4; push: the source posts reports itself. It cannot be changed later',
  })
  kind!: SourceKind;
  @Text({
    optional: true,
    max: 2000,
    description: 'The https address of the first page of the snapshot, or of the vehicle statuses',
    example: 'https://telematics.example.org/Fleet/1',
  })
  address?: string | null;
  @Nested(() => SourceSignIn, {
    optional: true,
    description: 'How to sign in at the address; none unless given',
  })
  signIn?: SourceSignIn | null;
  @Amount({
    optional: true,
    min: 5,
    max: 1440,
    integer: true,
    description: `Minutes between two polls; ${DEFAULT_MINUTES} unless given`,
  })
  everyMinutes?: number | null;
  @Flag({
    optional: true,
    description: 'Also ask for the fault codes of each machine (iso-15143-3 only); false unless given',
  })
  withFaults?: boolean | null;
  @Flag({ optional: true, description: 'Do not poll it for now' }) paused?: boolean | null;
}

export class SourceSignInView {
  @ApiProperty({ enum: SIGN_INS }) kind!: SignIn;
  @ApiProperty({ type: String, nullable: true }) userName!: string | null;
  @ApiProperty({ description: 'Whether a secret is kept' }) hasSecret!: boolean;
  @ApiProperty({ type: String, nullable: true }) tokenAddress!: string | null;
  @ApiProperty({ type: String, nullable: true }) scope!: string | null;
}

export class RefusalView {
  @ApiProperty({ description: 'The machine, as the source names it; empty if it belongs to none' })
  machine!: string;
  @ApiProperty({ description: 'Where in the document' }) path!: string;
  @ApiProperty({ type: () => MessageView }) why!: MessageView;
}

export class IntakeView {
  @ApiProperty({ format: 'date-time' }) at!: string;
  @ApiProperty() pages!: number;
  @ApiProperty() machines!: number;
  @ApiProperty({ description: 'Machines that are no vehicle of the fleet' }) unknown!: number;
  @ApiProperty({ description: 'Machines whose serial number several vehicles have' }) ambiguous!: number;
  @ApiProperty({ description: 'How often a page named a machine again' }) repeated!: number;
  @ApiProperty({ description: 'Machines whose vehicle counts by another machine' }) beside!: number;
  @ApiProperty({ description: 'Usage readings that are believed' }) taken!: number;
  @ApiProperty({ description: 'Usage readings that are held for review' }) held!: number;
  @ApiProperty({ description: 'Usage readings that were known already' }) duplicate!: number;
  @ApiProperty({ description: 'Values passed over, because one was taken a short time before' })
  passedOver!: number;
  @ApiProperty({ description: 'Faults that are new, or were seen for longer' }) faults!: number;
  @ApiProperty({ description: 'Coolant temperatures that were taken' }) temperatures!: number;
  @ApiProperty({ description: 'Values that were refused' }) refused!: number;
  @ApiProperty({ type: () => [RefusalView], description: 'The first of them' }) refusals!: RefusalView[];
}

export const SOURCE_STATES = ['waiting', 'polling', 'working', 'failing', 'paused'] as const;
export type SourceState = (typeof SOURCE_STATES)[number];

export class TelematicsSourceView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() name!: string;
  @ApiProperty({ enum: SOURCE_KINDS }) kind!: SourceKind;
  @ApiProperty({ type: String, nullable: true }) address!: string | null;
  @ApiProperty({ type: () => SourceSignInView }) signIn!: SourceSignInView;
  @ApiProperty({ type: 'integer', nullable: true }) everyMinutes!: number | null;
  @ApiProperty() withFaults!: boolean;
  @ApiProperty() paused!: boolean;
  @ApiProperty({
    enum: SOURCE_STATES,
    description: 'waiting: nothing has arrived yet; working: the last poll or post succeeded',
  })
  state!: SourceState;
  @ApiProperty({ type: String, format: 'date-time', nullable: true }) lastSuccessAt!: string | null;
  @ApiProperty({
    type: String,
    format: 'date-time',
    nullable: true,
    description: 'No poll has succeeded since',
  })
  failingSince!: string | null;
  @ApiProperty({ type: () => MessageView, nullable: true, description: 'Why the last poll failed' })
  failure!: MessageView | null;
  @ApiProperty({ type: String, format: 'date-time', nullable: true }) nextPollAt!: string | null;
  @ApiProperty({
    type: String,
    format: 'date-time',
    nullable: true,
    description: 'The latest instant that any of its machines gave',
  })
  newestAt!: string | null;
  @ApiProperty({
    type: 'integer',
    nullable: true,
    description: 'Minutes from newestAt to now: how far the source is behind',
  })
  lagMinutes!: number | null;
  @ApiProperty({ type: () => IntakeView, nullable: true, description: 'What the last poll or post brought' })
  lastIntake!: IntakeView | null;
  @ApiProperty() version!: number;
  @ApiProperty({ format: 'date-time' }) createdAt!: string;
}

export const TelematicsSourcePage = pageClass(TelematicsSourceView, 'TelematicsSourcePage');
