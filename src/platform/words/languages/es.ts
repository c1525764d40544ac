import type { LanguageFile } from '../language-file.js';

/**
 * Spanish, as workshops in the United States speak it: to the mechanic as usted
 * (`docs/glossary.md`). Values stand in braces, in ICU MessageFormat.
 */
export const SPANISH: LanguageFile = {
  locale: 'es-US',
  name: 'Español',
  messages: {
    // legacy
    // quantities
    // atmosphere
    // pressure
    'hold-test-held':
      'Aguantó: {outcome, select, lost {perdió {amount}} gained {ganó {amount}} other {no perdió nada}} en {minutes, plural, one {# minuto} other {# minutos}}{corrected, select, yes { una vez descontado el cambio de temperatura} other {}}.{outcome, select, lost { Se permite: {allowed} en {allowedMinutes, plural, one {# minuto} other {# minutos}}.} other {}}',
    'hold-test-lost-too-much':
      '{outcome, select, lost {Perdió {amount}} gained {Ganó {amount}} other {No perdió nada}} en {minutes, plural, one {# minuto} other {# minutos}}{corrected, select, yes { una vez descontado el cambio de temperatura} other {}}.{outcome, select, lost { Se permite: {allowed} en {allowedMinutes, plural, one {# minuto} other {# minutos}}.} other {}} Encuentre la fuga, repárela y repita la prueba.',
    'hold-test-too-close':
      'No se puede saber por poco: {outcome, select, lost {perdió {amount}} gained {ganó {amount}} other {no perdió nada}} en {minutes, plural, one {# minuto} other {# minutos}}{corrected, select, yes { una vez descontado el cambio de temperatura} other {}}.{outcome, select, lost { Se permite: {allowed} en {allowedMinutes, plural, one {# minuto} other {# minutos}}.} other {}}',
    'hold-test-right-at-limit':
      'La pérdida está justo en el límite. Use un manómetro más fino y espere más tiempo.',
    'hold-test-settled-by-longer':
      'Para salir de la duda, espere {minutes, plural, one {# minuto} other {# minutos}}.',
    'hold-test-settled-by-longer-or-finer':
      'Para salir de la duda, espere {minutes, plural, one {# minuto} other {# minutos}} o use un manómetro con divisiones de {division}.',
    'hold-test-no-target':
      'No se conoce la meta de esta prueba, así que no se evaluó {method, select, vacuum {el vacío inicial} other {la presión inicial}}.',
    'hold-test-nothing-tested':
      'Esto no probó nada: empezó en {start}, que no es más de lo que puede perder. Empiece con más {method, select, vacuum {vacío} other {presión}} y repita.',
    'hold-test-too-short':
      'Aguantó {held, number} de {needed, plural, one {# minuto} other {# minutos}}. Espere {needed, plural, one {# minuto} other {# minutos}}.',
    'hold-test-grew':
      '{method, select, vacuum {El vacío} other {La presión}} aumentó {gain}. Eso no pasa a temperatura constante. Deje que se estabilice, lea las dos temperaturas y repita.',
    'hold-test-boiled':
      'El vacío fue tan profundo que hirvió el refrigerante, y eso parece una fuga. Deje que se enfríe o no pase de {deepest}.',
    'hold-test-started-short':
      'Empezó en {start} y se necesitan {target} {method, select, vacuum {a esta altitud} other {aquí}}. {method, select, vacuum {Llegue a} other {Bombee hasta}} {target} y repita.',
    'hold-test-was-it-other-unit': '¿Eran {meant}?',
    'hold-test-too-hot':
      'El refrigerante estaba a {coolant}. {method, select, vacuum {Un motor que se enfría esconde una fuga.} other {Un cambio de temperatura mueve la presión.}} Deje que se enfríe y repita por debajo de {limit}.',
    'hold-test-temperature-changed':
      'La temperatura cambió {change} durante la prueba, y eso puede esconder una fuga. Deje que se enfríe y repita.',
    'hold-test-warm':
      'El motor estaba caliente. {method, select, vacuum {Un motor que se enfría esconde una fuga.} other {Un cambio de temperatura mueve la presión.}} Deje que se enfríe y repita.',
    'hold-test-maybe-warm':
      'El reporte no dice que el motor estaba frío. {method, select, vacuum {Un motor que se enfría esconde una fuga.} other {Un cambio de temperatura mueve la presión.}} Si estaba frío, indíquelo (engineCold). Si no, deje que se enfríe y repita.',
    'hold-test-maybe-warm-or-dry':
      'El reporte no dice que el motor estaba frío. Un motor que se enfría esconde una fuga. Si estaba frío, indíquelo (engineCold). Si el sistema estaba drenado y seco, indique wet: false. Si no es ninguno de los dos, deje que se enfríe y repita.',
    'hold-test-over-pressured':
      'Presión excesiva: {highest} pasa de {limit}, el máximo para probar este sistema. Revise el radiador, el núcleo de calefacción y las mangueras.',
    'hold-test-coarse-gauge':
      'Manómetro poco fino: su incertidumbre de {uncertainty} es tan grande como la pérdida permitida de {allowed}.',
    'basis-hold-test-rate':
      'tasa de pérdida contra la tasa permitida; u = resolución/√12 y lector/√12 por lectura, más el efecto posible de la temperatura (JCGM 100); banda de guarda de 2 u para aprobar, 1.645 u para reprobar (JCGM 106)',
    'basis-hold-test-temperature-correction':
      'corrección por temperatura: gas ideal para el aire, presión de vapor para el refrigerante',
    'basis-hold-test-simple-acceptance':
      'aceptación simple (ILAC-G8): el manómetro es demasiado grueso para una banda de guarda',
    'basis-leak-rate': 'tasa de fuga Q = V·Δp/Δt, solo indicativa: las mangueras ceden',
    // cautions
    'caution-hot-system':
      'Nunca abra un sistema caliente. Motor apagado; espere hasta que la manguera superior se sienta fría en la mano. Cubra el tapón con un trapo y aflójelo despacio hasta su primer tope.',
    'caution-secured':
      'Antes de meter las manos: llave fuera, freno puesto, ruedas calzadas, articulación bloqueada.',
    'caution-cold-into-hot': 'Nunca agregue refrigerante frío a un motor caliente.',
    'caution-poison':
      'El refrigerante es venenoso para personas y animales. Recójalo, no deje que llegue al drenaje y deséchelo según las reglas locales.',
    'caution-protection': 'Use protección para los ojos y las manos.',
    'caution-stands': 'Apoye un vehículo levantado sobre torres de soporte antes de trabajar debajo de él.',
    'caution-moving-parts':
      'Manténgase lejos de bandas y ventiladores. Un ventilador eléctrico puede arrancar con el motor apagado.',
    'caution-exhaust':
      'Nunca haga funcionar un motor bajo techo sin una manguera que saque los gases de escape al exterior. Los gases de escape matan.',
    'caution-timing-belt':
      'Banda de distribución: alinee las marcas de tiempo antes de quitarla. Si la banda mueve la bomba, cambie la bomba junto con ella.',
    'caution-cap-rating': 'Nunca pase de la presión marcada en el tapón al hacer una prueba de presión.',
    'caution-maker':
      'Los pares de apriete, los procedimientos y los tipos de refrigerante vienen de la información de servicio del fabricante del vehículo. Donde las reglas locales lo pidan, el trabajo debe hacerlo personal calificado o con licencia.',
    'caution-intervals':
      'Los intervalos vienen de la información de servicio del fabricante del vehículo. Si hay dos tipos de servicio posibles, planee con el más severo.',
    'caution-estimate':
      'Una fecha proyectada es una estimación. Una fuga, una luz de advertencia o un ruido no esperan a esa fecha.',
    // calendar
    // vehicles
    // checks
    // belt
    // fastening
    // coolant
    'ethylene-glycol': 'etilenglicol',
    'propylene-glycol': 'propilenglicol',
    'mixing-water': 'agua desmineralizada o destilada',
    // coolant-condition
    // strength
    // filling
    // evaluation
    // readings
    // follow-ups
    // conclusions
    // intervals
    'component-coolant': 'anticongelante',
    'component-water-pump': 'bomba de agua',
    'component-drive-belt': 'banda impulsora',
    'component-tensioner': 'tensor',
    'component-idler': 'polea loca',
    'component-thermostat': 'termostato',
    'component-radiator': 'radiador',
    'component-radiator-cap': 'tapón del radiador',
    'component-upper-hose': 'manguera superior',
    'component-lower-hose': 'manguera inferior',
    'component-heater-hose': 'manguera de la calefacción',
    'component-bypass-hose': 'manguera de derivación',
    'component-hose-clamp': 'abrazadera',
    'component-fan-drive': 'mando del ventilador',
    'component-fan-shroud': 'tolva del ventilador',
    'component-reservoir': 'depósito de anticongelante',
    'component-heater-core': 'núcleo del calefactor',
    'component-coolant-filter': 'filtro de anticongelante',
    'component-oil-cooler': 'enfriador de aceite',
    'component-egr-cooler': 'enfriador del EGR',
    'component-head-gasket': 'empaque de la cabeza',
    'component-injector-sleeve': 'copa del inyector',
    'component-timing-belt': 'banda de distribución',
    'component-temperature-sensor': 'sensor de temperatura',
    'component-other': 'otra pieza',
    'action-inspect': 'revisión',
    'action-test': 'prueba',
    'action-adjust': 'ajuste',
    'action-clean': 'limpieza',
    'action-flush': 'lavado',
    'action-replace': 'cambio',
    'action-recheck': 'nueva revisión',
    'part-with-item': '{component} ({item})',
    'work-on-part': '{part}: {action}',
    // usage
    // loss
    'loss-level':
      'Nivel en frío: {level, select, filled {rellenado hasta la marca} at {en la marca} above {{offMark} por encima de la marca} other {{offMark} por debajo de la marca}}.{first, select, yes {} other { Pérdida desde el primer nivel: {lost}.}}',
    'loss-level-below-min': 'Por debajo de MIN. Pérdida total desde el primer nivel: al menos {lost}.',
    'loss-level-between': 'Entre MIN y MAX. Pérdida total desde el primer nivel: al menos {lost}.',
    'loss-level-at-max': 'En MAX. Pérdida total desde el primer nivel: al menos {lost}.',
    'loss-level-above-max': 'Por encima de MAX. Pérdida total desde el primer nivel: al menos {lost}.',
    'loss-top-up':
      'Relleno de {added}, no planeado{marked, select, yes {, hasta la marca} other {}}.{settled, select, yes { De eso, {settling} corresponde al asentamiento después del llenado.} other {}}',
    'loss-since-last-level': 'Pérdida de {lost} desde el último nivel en frío conocido.',
    'loss-since-last-level-by-marks':
      'Según las marcas, pérdida de al menos {lost} desde el último nivel en frío conocido.',
    'loss-cooling-job': 'Trabajo en el sistema de enfriamiento: {work}.',
    'loss-strength-before': 'Concentración medida antes: {strength, number} % {method}.',
    'loss-strength-fell': 'Se esperaba {expected, number} % y se midió {strength, number} % {method}.',
    'loss-top-up-strength':
      '{poured, select, water {Relleno de {added} de agua.} mixture {Relleno de {added}, al {strength, number} %.} other {Relleno de {added}. No se conoce su concentración, así que cuenta como agua.}}',
    'loss-hold-test':
      'Prueba de {method, select, vacuum {vacío} other {presión}}{verdict, select, pass {: pasó} fail {: no pasó} inconclusive {: no concluyente} other {}}. {rated, select, yes {En 10 minutos perdería {lost}; se permite {allowed}.} other {No se conoce la tasa de pérdida.}}',
    'loss-hold-test-failed-again':
      'La prueba de {method, select, vacuum {vacío} other {presión}} tampoco pasó esta vez.',
    'loss-top-up-again': 'Otro relleno de {lost}, no planeado.',
    'loss-again': 'Otra pérdida de {lost}.',
    'loss-part-replaced':
      'Cambio{known, select, before { antes de que empezaran los registros} other {}}: {parts}.',
    'loss-part-replaced-again':
      '{why, select, failed {Nuevo cambio por falla: {failed}.} early {Nuevo cambio antes de tiempo: {early}.} other {Nuevo cambio por falla: {failed}. Antes de tiempo: {early}.}}',
    'loss-batch-fitted': 'Instalación: {part}, lote {batch}. Primera alerta después de {distance}.',
    'loss-method-refractometer': 'con refractómetro',
    'loss-method-hydrometer': 'con densímetro',
    'loss-method-test-strip': 'con tira reactiva',
    'loss-method-refractive-index': 'por índice de refracción',
    'loss-method-brix': 'por grados Brix',
    'loss-method-volume-percent': 'con un instrumento que lee % en volumen',
    'loss-check-cap': 'Tapón del radiador y su asiento.',
    'loss-check-hoses':
      'Mangueras de punta a punta, y sus abrazaderas: ¿están mojadas o tienen anticongelante seco?',
    'loss-check-weep-hole': 'Orificio de drenado de la bomba, y el piso debajo.',
    'loss-check-radiator-and-heater':
      'Radiador, depósito de anticongelante y núcleo del calefactor: ¿alfombra mojada, olor dulce, una película por dentro del parabrisas?',
    'loss-check-pressure-test': 'Prueba de presión a la presión nominal del tapón, con el motor frío.',
    'loss-check-combustion-gas':
      'Solo después, una prueba de gases de combustión; coloque el probador con el motor frío. Si es positiva, deje el vehículo estacionado: empaque de la cabeza, enfriador del EGR o copas de los inyectores.',
    'loss-check-water-added': 'Pregunte a quien maneja y carga combustible si se agregó agua en el camino.',
    'loss-check-strength':
      'Mida otra vez la concentración con un refractómetro, ya mezclado el anticongelante. Regrésela a la concentración deseada.',
    'loss-check-tester':
      'Pruebe por separado el manómetro, las mangueras y el adaptador: ¿la herramienta aguanta?',
    'loss-check-failed-part':
      'Averigüe por qué regresó la pieza: la pieza que falló, sus superficies de sellado, el anticongelante que pasó por ella.',
    'loss-check-belt': 'Si la pieza es movida por una banda: tensión de la banda y alineación de las poleas.',
    'loss-check-first-job':
      'Torques y procedimiento del primer trabajo. Compare el número de parte y el lote con la hoja de especificaciones.',
    'loss-check-batch-vehicles': 'Otros vehículos con piezas de este lote: revíselos en su próxima visita.',
    'loss-check-batch-stock': 'Existencias del mismo lote: apártelas hasta que el proveedor responda.',
    'loss-check-fitting':
      'Procedimiento de instalación y torques: la causa puede ser el trabajo y no la pieza.',
    'caution-vacuum-hides-leak':
      'Una prueba de vacío que pasó no demuestra que esta fuga ya no existe. El vacío cierra un sello de labio o un empaque de la cabeza.',
    'basis-loss-early-return':
      'cambio repetido en {months, plural, one {# mes} other {# meses}}, {distance} y {hours, plural, one {# hora de motor} other {# horas de motor}}: práctica común, sin fuente publicada',
    'basis-loss-cusum':
      'CUSUM tabular unilateral (NIST/SEMATECH e-Handbook 6.3.2.3) de cuánto se aparta cada nivel de la línea propia del vehículo (residuos recursivos: Brown, Durbin and Evans 1975), holgura {slack, number}; la suma y cada desviación se limitan a una falsa alarma en {distance, number} km (Siegmund 1985; distribución normal)',
    'basis-loss-usual':
      'pérdida usual {usual} ± {spread} por 1,000 km, {known, select, cohort {de vehículos con la misma hoja de especificaciones} other {supuesta: práctica común, sin fuente publicada}}; lectura del nivel ± {level}: práctica común, sin fuente publicada',
    'basis-loss-top-ups':
      'dos o más rellenos que nadie planeó, juntos al menos {share, number} % de la capacidad de {capacity}: práctica común, sin fuente publicada',
    'basis-loss-at-once':
      'una pérdida de al menos {share, number} % de la capacidad de {capacity} desde el último nivel en frío conocido: práctica común, sin fuente publicada',
    'basis-loss-water':
      'conservación del glicol en cada relleno registrado, capacidad {capacity}; incertidumbre de las dos lecturas según JCGM 100',
    'basis-loss-water-share':
      'alerta por encima de {share, number} % de la capacidad, descontada la incertidumbre: práctica común, sin fuente publicada',
    'basis-loss-hold-trend':
      'prueba de tendencia de Mann–Kendall, p unilateral exacta menor que {limit, number}, con las pruebas de {method, select, vacuum {vacío} other {presión}} desde la última reparación',
    'basis-loss-hold-failed':
      'una prueba de {method, select, vacuum {vacío} other {presión}} que no pasó después de otra que pasó, sin trabajo en el sistema de enfriamiento entre las dos',
    'basis-loss-return':
      'una pérdida dentro de {days, plural, one {# día} other {# días}} después de cerrar la alerta: práctica común, sin fuente publicada',
    'basis-loss-batch':
      'prueba binomial de la parte de las alertas que toca al lote contra su parte de los kilómetros, p menor que {limit, number, ::@@}: {probability, number} repartido entre {batches, plural, one {# lote probado} other {# lotes probados}} y entre las veces que se evaluó cada uno',
    'loss-capacity-not-above-zero': 'Una capacidad de {capacity} no es posible: debe ser mayor que 0.',
    'loss-strengths-not-above-zero':
      'No se pueden comparar concentraciones de {expected, number} % y {measured, number} %: las dos deben ser mayores que 0.',
    'loss-instant-without-offset':
      '"{at}" no es un instante. Indique la fecha, la hora y la diferencia con UTC, por ejemplo 2026-04-02T15:20:00Z.',
    'loss-shelving-without-end': 'La pausa necesita un fin. Indique una hora posterior a {after}.',
    'loss-shelving-ends-too-early':
      'Una pausa hasta {until} terminaría antes de empezar. Indique una hora posterior a {after}.',
    // reliability
    'life-not-above-zero': 'Una vida útil de {age, number} no es posible: debe ser mayor que 0.',
    'life-watched-too-late':
      'Una vida útil de {age, number} no se puede observar desde {entry, number}: indique un inicio de 0 o más, antes de su fin.',
    'life-count-not-above-zero': 'No puede haber {count, number} vidas útiles: indique más de 0.',
    // visits
    'visit-left-no-working-day': 'El patio no trabaja ninguno de los días del plan.',
    'visit-left-window-opens-later':
      'Su ventana de servicio se abre el {opens}, después del último día hábil del plan.',
    'visit-left-too-long-for-a-day':
      'Requiere {hours, plural, one {# hora} other {# horas}}. Ningún día hábil desde el {from} tiene tanta mano de obra libre.',
    'visit-left-costs-no-more-later': 'No cuesta más el {next}, el primer día hábil después del plan.',
    'visit-left-for-dearer-work':
      'La mano de obra se destina a trabajos que cuesta más posponer. El plan cuenta esta línea el {next}, el primer día hábil después de él.',
    // job-card
    // statistics
    // job-card-page
    // calendar-feed
    // mail
    // reminders
    // due-list
    // loss-alerts
    // interval-advice
    // visit-plans
    // job-reports
    // imports
    // attachments
    // spec-sheets
    // interval-plans
    // vehicles-register
    // depots
    // fleets
    // tokens
    // audit
    // access
    // problems
    // fields
    // http
    // csv
    // queue
    // commands
    // board
  },
};
