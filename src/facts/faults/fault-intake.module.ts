import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../../conclusions/pipeline/conclusions.module.js';
import { FaultsService } from './faults.service.js';

/** What takes faults, for the API and for the worker that polls sources. */
@Module({ imports: [ConclusionsModule], providers: [FaultsService], exports: [FaultsService] })
export class FaultIntakeModule {}
