import { Module } from '@nestjs/common';
import { WakeUps } from './wake-ups.js';

@Module({ providers: [WakeUps], exports: [WakeUps] })
export class OutboxModule {}
