import { Module } from '@nestjs/common';
import { ConclusionsService } from './conclusions.service.js';

@Module({ providers: [ConclusionsService], exports: [ConclusionsService] })
export class ConclusionsModule {}
