import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../../conclusions/pipeline/conclusions.module.js';
import { FleetsController } from './fleets.controller.js';
import { FleetsService } from './fleets.service.js';

@Module({ imports: [ConclusionsModule], controllers: [FleetsController], providers: [FleetsService] })
export class FleetsModule {}
