import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../../conclusions/pipeline/conclusions.module.js';
import { SpecSheetsController } from './spec-sheets.controller.js';
import { SpecSheetsService } from './spec-sheets.service.js';

@Module({ imports: [ConclusionsModule], controllers: [SpecSheetsController], providers: [SpecSheetsService] })
export class SpecSheetsModule {}
