import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../../conclusions/pipeline/conclusions.module.js';
import { BookingController } from './booking.controller.js';
import { BookingService } from './booking.service.js';

@Module({ imports: [ConclusionsModule], controllers: [BookingController], providers: [BookingService] })
export class BookingModule {}
