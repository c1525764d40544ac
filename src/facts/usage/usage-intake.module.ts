import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../../conclusions/pipeline/conclusions.module.js';
import { UsageIntakeService } from './usage-intake.service.js';

/** What takes usage readings, for the API and for the worker that polls sources. */
@Module({ imports: [ConclusionsModule], providers: [UsageIntakeService], exports: [UsageIntakeService] })
export class UsageIntakeModule {}
