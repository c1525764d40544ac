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
    'coolant-boils-at':
      'El {base} al {strength, number} % hierve a {boilsAt} {cap, select, capped {con un tapón de {rating}} other {sin presión}}, {place, select, barometer {con el barómetro en {barometer}} elevation {a {elevation} de altitud} other {al nivel del mar (no se conoce la altitud)}}.',
    'coolant-tap-water':
      'Se agregó agua de la llave, que es solo para una emergencia: sus minerales dejan sarro y su cloruro corroe. Cambie el anticongelante en el próximo servicio.',
    'coolant-nearly-neat':
      '{strength, number} % en masa es glicol casi sin diluir. El punto de ebullición se calcula hasta 90 % en masa.',
    'freeze-point-warmer-than-water':
      '{value, number} °C es más caliente que los 0 °C del agua sola. ¿Eran {negative, number} °C, o {value, number} °F?',
    'freeze-point-colder-than-any':
      '{value, number} °C es más frío que cualquier mezcla de glicol y agua. ¿Eran {value, number} °F?',
    'refractive-index-outside':
      '{value} está fuera de 1.3330 (agua) a 1.4400 (glicol sin diluir) a 20 °C. Ponga el instrumento en cero con agua. ¿O era un valor en Brix?',
    'brix-outside': '{value, number} está fuera de 0 (agua) a 60. ¿Era un % en volumen o una temperatura?',
    'saturation-line-temperature':
      '{value, number} °C está fuera de la línea de saturación del agua, de 0 a 373.946 °C.',
    'saturation-line-pressure':
      '{value, number} kPa absolutos está fuera de la línea de saturación del agua, de 0.611213 a 22064 kPa.',
    'basis-boil-over':
      'ley de Raoult con la línea de saturación del agua (IAPWS-IF97, región 4); {strength, number} % en volumen = {mass, number} % en masa; exacto a ±{uncertainty}',
    'basis-freezing-table':
      'ASHRAE Handbook Fundamentals 2001, puntos de congelación de {base} y agua, interpolación lineal',
    'basis-refraction-table':
      'CRC Handbook of Chemistry and Physics, edición 102, índice de refracción de etilenglicol y agua a 20 °C, interpolación lineal',
    // coolant-condition
    'coolant-within-limits': 'El anticongelante está dentro de sus límites.',
    'coolant-nothing-judged':
      'Nada de esto tiene un límite con qué juzgarlo. Ponga los límites en la hoja de especificaciones.',
    'coolant-oily':
      'Hay aceite en el anticongelante. Encuentre por dónde entra antes de llenar: primero el enfriador de aceite, luego el empaque de la cabeza.',
    'coolant-rusty': 'Hay óxido en el anticongelante. Lave el sistema y llénelo de nuevo.',
    'coolant-particles': 'Hay partículas en el anticongelante. Lave el sistema y llénelo de nuevo.',
    'coolant-cloudy': 'Está turbio. Deje reposar una muestra o mándela a un laboratorio.',
    'coolant-value':
      '{what, select, ph {pH {value, number}} nitrite {Nitrito {value, number} mg/L} molybdate {Molibdato {value, number} mg/L} sca {Aditivo SCA {value, number} unidades por galón de EE. UU.} other {Reserva alcalina {value, number} mL}}',
    'coolant-acid': '{measured}: el anticongelante es ácido y ataca el metal. Drene, lave y llene de nuevo.',
    'coolant-value-too-low':
      '{measured}, se necesita al menos {least, number}{cavitation, select, yes {: la cavitación puede perforar las camisas húmedas} other {}}.',
    'coolant-value-too-high': '{measured}, se permite {most, number} como máximo.',
    'coolant-ph-stays-low': 'Pruebe otra vez con un medidor. Si sigue bajo, cambie el anticongelante.',
    'coolant-ph-stays-high': 'Pruebe otra vez con un medidor. Si sigue alto, cambie el anticongelante.',
    'coolant-protection-used-up': 'Su protección contra la corrosión se agotó: cambie el anticongelante.',
    'coolant-add-dose':
      'Agregue {amount} de {product}, haga funcionar el motor hasta que se mezcle y pruebe otra vez.',
    'coolant-additive': 'aditivo',
    'coolant-add-extender':
      'Agregue el extensor propio de este anticongelante o cambie el anticongelante. Después pruebe otra vez.',
    'coolant-add-additive':
      'Agregue aditivo según su etiqueta, haga funcionar el motor hasta que se mezcle y pruebe otra vez.',
    'coolant-too-much-additive':
      'De más deja depósitos y desgasta los sellos de la bomba de agua: drene una parte y rellene sin aditivo.',
    'coolant-value-no-limit': '{measured}: no se conoce un límite.',
    'nitrite-not-relied-on': '{measured} no se juzga: el anticongelante {technology} no depende del nitrito.',
    'nitrite-no-wet-liners': '{measured} no se juzga: el motor no tiene camisas húmedas que proteger.',
    'nitrite-if-wet-liners':
      '{measured}: es poco si el motor tiene camisas húmedas, que necesitan {least, number}. Agregue wetLiners a la hoja de especificaciones.',
    'test-strip-expired': 'La tira reactiva caducó el {expiredOn}. Pruebe otra vez con una nueva.',
    'test-strip-for-conventional':
      'Las tiras para SCA son para anticongelante convencional y no miden nada en anticongelante {technology}. Use una tira para ácidos orgánicos o mande una muestra.',
    'test-strip-for-organic-acid':
      'Las tiras para ácidos orgánicos no miden nada en anticongelante convencional (IAT). Use una tira para SCA o para nitrito.',
    'test-strip-beside-other-method':
      'Se dio una tira, pero el método es {method}. Ponga test-strip como método o quite strip.',
    'test-strip-beside-laboratory':
      'Se dio una tira junto con laboratory. Mande lo que midió la tira y lo que encontró el laboratorio como dos lecturas.',
    'coolant-value-given-twice':
      'Es {typed, number}, y los valores del laboratorio tienen {reported, number}. Dé uno solo.',
    'ph-outside': '{value, number} no es un pH. Debe estar entre 0 y 14.',
    'laboratory-value': 'Laboratorio: {name} {value, number} {unit}',
    'laboratory-value-without-unit': 'Laboratorio: {name} {value, number}',
    'laboratory-value-no-limit': '{measured}. El reporte no da un límite.',
    'laboratory-says': 'El laboratorio dice: {remarks}',
    'laboratory-min-above-max': '{name}: min {min, number} es mayor que max {max, number}.',
    'basis-coolant-appearance': 'aspecto (práctica común); el color nunca es evidencia',
    'basis-test-strip':
      'medido con una tira reactiva ({kind, select, sca {SCA} nitrite {nitrito} organic {ácidos orgánicos} ph {pH} other {punto de congelación}})',
    'basis-laboratory-report': 'reporte de laboratorio; los demás valores según los límites que trae',
    'basis-laboratory-report-of':
      'reporte de laboratorio: {parts}; los demás valores según los límites que trae',
    'laboratory-report-number': 'reporte {number}',
    'laboratory-sampled-on': 'muestra del {on}',
    'basis-coolant-acid': 'un pH menor que 7 es ácido y no pasa en ningún anticongelante (práctica común)',
    'basis-nitrite-with-molybdate':
      'nitrito con molibdato, como lo tiene ASTM D6210 para anticongelante nuevo (de memoria)',
    'basis-reserve-alkalinity': 'reserva alcalina según ASTM D1121',
    'basis-coolant-range':
      '{what, select, ph {pH} nitrite {Nitrito} molybdate {Molibdato} sca {Aditivo SCA} other {Reserva alcalina}} {limits, select, least {al menos {least, number}} most {como máximo {most, number}} other {al menos {least, number}, como máximo {most, number}}}{what, select, ph {} sca { unidades por galón de EE. UU.} nitrite { mg/L} molybdate { mg/L} other { mL}} ({source, select, sheet {hoja de especificaciones} heavyDuty {práctica común, IAT de servicio pesado} noat {NOAT en uso, de memoria de la práctica en servicio pesado} other {anticongelante convencional alrededor de camisas húmedas, de memoria de la práctica en servicio pesado}})',
    'basis-nitrite-if-wet-liners':
      'Nitrito al menos {least, number} mg/L si las camisas son húmedas (anticongelante convencional, de memoria de la práctica en servicio pesado)',
    'coolant-additive-named': '{product}',
    // strength
    'strength-read':
      'Lectura: {how, select, within {{freezePoint}, {strength, number} % en volumen} least {al menos {freezePoint}, más de {strength, number} % en volumen} other {{strength, number} % en volumen}}.',
    'strength-not-known': 'No se conoce la concentración.',
    'freeze-point-no-table':
      'Ninguna tabla convierte {by, select, brix {los grados Brix} other {un índice de refracción}} en la concentración de {base}. Lea su punto de congelación en una escala para {base}.',
    'freeze-point-instrument-off-zero':
      'El instrumento marcó {shown}, por encima del punto de congelación del agua: se toma como agua sola. Póngalo en cero con agua.',
    'freeze-point-mixed-bases':
      'En el sistema hay o puede haber etilenglicol y propilenglicol: ninguna escala mide una mezcla de bases. Lave el sistema, llénelo y mida otra vez.',
    'freeze-point-other-scale':
      'Se leyó en una escala para {scale}, pero el anticongelante es de {base}. Léalo otra vez en una escala para {base}.',
    'freeze-point-no-low-temperature':
      'No se conoce la temperatura mínima de este vehículo ni de su patio, así que no se juzgó la protección en sí.',
    'freeze-point-beyond-table':
      'No se conoce su punto de congelación: la tabla termina en {end, number} %. Dilúyalo con un poco de agua desmineralizada o destilada y mida otra vez.',
    'freeze-point-protects-too-little':
      'Protege hasta {read} ±{uncertainty}; se necesita {needed} (temperatura mínima {lowest} menos {margin}).',
    'freeze-point-at-table-end':
      'Protege al menos hasta {end}, donde termina la tabla; se necesita {needed} (temperatura mínima {lowest} menos {margin}).',
    'freeze-point-too-close':
      'No se puede saber por poco: protege hasta {read} ±{uncertainty}; se necesita {needed} (temperatura mínima {lowest} menos {margin}). Lo aclara un instrumento más fino o un poco de anticongelante concentrado.',
    'strength-too-weak':
      'Demasiado diluido: {strength, number} % en volumen. Se necesita al menos {least, number} contra la corrosión y la ebullición, en cualquier clima.',
    'strength-close-to-least':
      'No se puede saber por poco: {strength, number} % en volumen (de {weakest, number} a {end, select, known {{strongest, number}} other {más allá de la tabla}}); se necesita al menos {least, number}. Lo aclara un instrumento más fino o un poco de anticongelante concentrado.',
    'strength-close-to-most':
      'No se puede saber por poco: {strength, number} % en volumen (de {weakest, number} a {end, select, known {{strongest, number}} other {más allá de la tabla}}); se permite {most, number} como máximo. Lo aclara un instrumento más fino.',
    'strength-too-strong':
      'Demasiado concentrado: {known, select, no {más de {strength, number}} other {{strength, number}}} % en volumen, {most, number} como máximo. Drene un poco y repóngalo con agua desmineralizada o destilada.',
    'strength-beyond-table':
      'Más concentrado de lo que alcanza la tabla (más de {strength, number} % en volumen), así que no se sabe si pasa del {most, number} % permitido. Diluya una muestra con otro tanto de agua desmineralizada o destilada y mida esa.',
    'basis-coolant-base-assumed': 'no se dio la base: se toma como etilenglicol',
    'basis-coolant-base-of-sheet': 'no se dio la base: {base} según la hoja de especificaciones',
    'basis-freeze-point-uncertainty':
      'incertidumbre de {method, select, refractometer {un refractómetro} hydrometer {un densímetro} strip {una tira reactiva} index {un índice de refracción} brix {una lectura en Brix} other {un porcentaje en volumen}} ±{uncertainty} (k = 2), {source, select, astm {ASTM D3321} other {práctica común}}',
    'basis-freeze-margin': 'margen de {margin} por debajo de la temperatura mínima (práctica común)',
    'basis-strength-limits':
      'al menos {least, number} % en volumen (ASTM D6210), como máximo {most, number} % en volumen ({source, select, sheet {hoja de especificaciones} other {ASTM D6210}})',
    // filling
    'fill-stays-more-than-capacity': '{stays} es más de lo que cabe en el sistema, {capacity}.',
    'refill-needs-more-room':
      'Para {target, number} % se necesitan {concentrate} de anticongelante concentrado, pero solo se drenaron {room}. Drene también el bloque del motor y la calefacción.',
    'refill-too-strong-already':
      '{target, number} % es menos de lo que resulta con lo que queda en el sistema. Drene también el bloque del motor y la calefacción.',
    'refill-cannot-reach':
      'Desde {strength, number} % no se llega a {target, number} % reponiendo con {refill, number} %. Lo que se repone debe ser al menos tan {needed, select, strong {concentrado} other {diluido}} como la concentración deseada.',
    'drain-and-replace':
      'Drene {drain} de {capacity} y repóngalo con {refill, select, water {agua desmineralizada o destilada} other {anticongelante al {refillStrength, number} %}}: {result, number} % ya mezclado.',
    'basis-drain-and-replace':
      'x = V·(C_t - C_0)/(C_r - C_0), concentraciones en volumen, los volúmenes se suman',
    'fill-done': 'Entraron {added} en {empty} que estaban vacíos.',
    'fill-drained-not-known':
      'No se sabe cuánto se drenó, así que no se puede saber si hay aire atrapado. Indique drained.',
    'fill-came-in-low':
      'Llegó con nivel bajo y el volumen que se puede drenar no está en la hoja de especificaciones, así que no se sabe cuánto debía entrar.',
    'fill-short-without-air':
      'Entraron {missing} menos de lo que el sistema debía recibir, pero la revisión de calentamiento muestra que no hay aire atrapado.',
    'fill-short-not-topped-up':
      'Entraron {missing} menos de lo que el sistema debía recibir, y no se rellenó hasta la marca. Rellene antes de arrancar el motor y reporte todo lo que entró.',
    'fill-short-by-vacuum':
      'Entraron {missing} menos de lo que el sistema debía recibir; el vacío deja hasta {air} de aire. Rellene hasta la marca antes de arrancar el motor. Después reporte todo lo que entró y diga si se rellenó hasta la marca (toppedUpToMark).',
    'fill-short-air-trapped':
      'Entraron {missing} menos de lo que el sistema debía recibir{toppedUp, select, yes {, aunque se rellenó hasta la marca} other {}}: hay aire atrapado. Purgue y haga la revisión de calentamiento: termostato abierto, aire caliente en las rejillas, temperatura estable, nivel en la marca en frío.',
    'fill-more-than-capacity':
      '{field, select, added {added} other {drained}}: {volume} es más de lo que cabe en el sistema, {capacity}. Revise la cifra y su unidad de medida.',
    'fill-strength': 'Ya mezclado con lo que quedó en el sistema: alrededor de {strength, number} %.',
    'fill-strength-too-weak':
      'Ya mezclado con lo que quedó en el sistema: alrededor de {strength, number} %, demasiado diluido. Agregue anticongelante concentrado sin diluir y revise el punto de congelación.',
    'freeze-point-read-too-soon':
      'El punto de congelación de este trabajo se leyó antes de agregar esto. Léalo otra vez.',
    'basis-shortfall': 'faltante = lo que salió - lo que entró',
    'basis-trapped-air':
      'aire atrapado si faltan más de {allowed}, lo mayor entre {least} y {share, number} % de {of, select, capacity {la capacidad} other {lo que se drenó}} (práctica común)',
    'coolant-other-base-remains':
      'Todavía hay {base} en el sistema; con drenar no sale. Lave y después llene. Hasta entonces no cuenta ninguna lectura del punto de congelación.',
    'coolant-other-base-poured':
      'Se agregó anticongelante con {poured} a un sistema con {other}. Lávelo y llénelo de nuevo. Con solo drenar queda alrededor de un tercio en el bloque del motor y la calefacción, y ninguna lectura del punto de congelación cuenta hasta que se lave.',
    'caution-other-technology':
      'Se agregó anticongelante {poured} a un sistema hecho para {meant}{share, select, known { ({percent, number} % de la capacidad en total)} other {}}{shortens, select, yes {: cuente la duración del anticongelante que dura menos y pruebe el anticongelante} other {}}. El color no dice nada de la tecnología.',
    'basis-other-technology':
      'otra tecnología importa por encima de {percent, number} % de la capacidad en total (práctica común)',
    'top-up-added':
      '{what, select, water {Se agregaron {added} de agua} premix {Se agregaron {added} de anticongelante al {strength, number} %} other {Se agregaron {added} de anticongelante}}{mixed, select, known {: alrededor de {result, number} % ya mezclado} other {}}.',
    'top-up-more-than-capacity':
      'Eso es más de lo que cabe en el sistema, {capacity}. Revise la cifra y su unidad de medida.',
    'top-up-water-weakens': 'El agua diluye el anticongelante: revise el punto de congelación de inmediato.',
    'top-up-not-judged': 'No hay un límite para juzgar un solo relleno; se vigila si se repiten.',
    'basis-top-up-strength':
      'C = (C_0·(V - a) + C_r·a)/V, concentraciones en volumen, rellenado hasta la marca',
    // evaluation
    // readings
    'finding-failed-pressure-test': 'una prueba de presión que no pasó',
    'finding-failed-vacuum-test': 'una prueba de vacío que no pasó',
    'finding-failed-torque-check': 'una revisión de torques que no pasó',
    'finding-failed-belt-check': 'una revisión de la banda que no pasó',
    'finding-failed-level-check': 'una revisión del nivel que no pasó',
    'finding-combustion-gas': 'una prueba de gases de combustión positiva',
    'finding-failed-road-test': 'una prueba de carretera que no pasó',
    'finding-failed-warm-up-check': 'una revisión de calentamiento que no pasó',
    'finding-failed-torque-check-of': 'una revisión de torques que no pasó ({name})',
    'finding-failed-belt-check-of': 'una revisión de la banda que no pasó ({name})',
    'finding-failed-reading': 'una lectura que no pasó ({kind})',
    'settled-by-pressure-test': 'pase una prueba de presión',
    'settled-by-vacuum-test': 'pase una prueba de hermeticidad',
    'settled-by-torque-check': 'los tornillos se aprieten según la hoja y se revisen otra vez',
    'settled-by-belt-check': 'se cambie la banda o pase una revisión completa',
    'settled-by-level-check':
      'se rellene (lo resuelve un nivel en frío en las marcas o entre ellas, al menos 4 horas después de rellenar; registre que el motor estaba frío)',
    'settled-by-combustion-gas':
      'se encuentre y se repare la fuga hacia el anticongelante y la prueba salga limpia',
    'settled-by-road-test': 'se repare lo que encontró y pase una prueba de carretera',
    'settled-by-warm-up-check': 'se repare lo que encontró y pase una revisión de calentamiento',
    'settled-when-put-right': 'se corrija',
    'torque-set-not-on-sheet':
      '{fastener} no está en la hoja de especificaciones, que tiene: {names}. Mándelo con el nombre que tiene ahí.',
    'reading-does-not-exist': 'La lectura {index, number} no existe: hay {count, number}.',
    // follow-ups
    'follow-up-circuit-opened': 'Se abrió el circuito de anticongelante.',
    'follow-up-pressure-test-failed':
      'La prueba de presión no pasó. Encuentre y repare la fuga; después la prueba de presión debe pasar.',
    'follow-up-vacuum-test-failed':
      'La prueba de vacío no pasó. Encuentre y repare la fuga; después debe pasar una prueba de vacío o de presión.',
    'follow-up-over-pressured':
      'El sistema recibió demasiada presión. Revise el radiador, el núcleo del calefactor y las mangueras; después repita la prueba a la presión nominal del tapón.',
    'follow-up-pressure-test-unclear': 'La prueba de presión fue no concluyente: repítala.',
    'follow-up-vacuum-test-unclear': 'La prueba de vacío fue no concluyente: repítala.',
    'follow-up-strength-wrong': 'El punto de congelación no pasó. Ajuste la concentración y léalo otra vez.',
    'follow-up-strength-unclear': 'El punto de congelación fue no concluyente: léalo otra vez.',
    'follow-up-water-poured': 'Se agregó agua: lea el punto de congelación.',
    'follow-up-fill-weak':
      'El llenado deja el anticongelante demasiado diluido: lea el punto de congelación.',
    'follow-up-torque-wrong':
      'El registro de torques no pasó. Corrija los tornillos y registre después todos sus torques.',
    'follow-up-belt-worn': 'La banda está desgastada: instale una nueva.',
    'follow-up-belt-contaminated':
      'Hay aceite o anticongelante en la banda. Repare la fuga e instale después una banda nueva.',
    'follow-up-belt-out-of-place':
      'La banda está fuera de sus ranuras o desalineada, o su tensor está fuera de rango. Corríjalo y haga después una revisión completa de la banda.',
    'follow-up-cap-failed': 'El tapón no pasó su prueba: instale uno nuevo.',
    'follow-up-combustion-gas':
      'Hay gas de combustión en el anticongelante: deje el vehículo estacionado. Revise el empaque de la cabeza o, si no, el enfriador del EGR o una copa del inyector.',
    'follow-up-leak-at-warm-up':
      'Se vio una fuga en el calentamiento. Repárela; después debe pasar una revisión de calentamiento o una prueba de presión.',
    'follow-up-thermostat-shut':
      'El termostato no abrió en el calentamiento. Cámbielo; después debe pasar una revisión de calentamiento.',
    'follow-up-fan-dead':
      'El ventilador no encendió en el calentamiento. Revise el relevador y el sensor o, si no, cambie su mando; después debe pasar una revisión de calentamiento.',
    'follow-up-warm-up-failed':
      'La revisión de calentamiento no pasó. Purgue y rellene; después debe pasar una revisión de calentamiento o una prueba de presión.',
    'follow-up-leak-on-the-road':
      'Se vio una fuga en carretera. Repárela; después debe pasar una prueba de presión o una prueba de carretera.',
    'follow-up-overheated':
      'El motor se sobrecalentó en carretera. Revise nivel, ventilador, termostato y radiador y haga la prueba de gases de combustión; después debe pasar una prueba de carretera.',
    'follow-up-warning-lamp':
      'Se encendió una luz de advertencia. Averigüe por qué; después debe pasar una prueba de carretera.',
    'follow-up-thermostat-stuck-open':
      'El motor no se calentó en carretera. Cambie el termostato; después debe pasar una revisión de calentamiento o una prueba de carretera.',
    'follow-up-level-low':
      'El nivel estaba bajo: rellene. Lo resuelve un nivel en frío en las marcas o entre ellas, al menos 4 horas después de rellenar (registre que el motor estaba frío).',
    'follow-up-fill-short': 'El llenado no pasó. Purgue y rellene; después lea el nivel en frío.',
    'follow-up-oil':
      'Hay aceite en el anticongelante. Pruebe el enfriador de aceite y luego el empaque de la cabeza. Después de la reparación, lave el sistema y vuelva a ver el anticongelante.',
    'follow-up-dirt':
      'Hay óxido o partículas en el anticongelante. Lave el sistema y vuelva a ver el anticongelante.',
    'follow-up-acid': 'El anticongelante es ácido y ataca el metal. Lave el sistema y mida el pH otra vez.',
    'follow-up-laboratory-limit':
      'Un valor del laboratorio está fuera de sus límites. Lave el sistema y haga medir otra vez el mismo valor.',
    'follow-up-worn-out': 'La reserva alcalina del anticongelante se agotó. Cámbielo y mídala otra vez.',
    'follow-up-inhibitors-off':
      'El pH o un aditivo está fuera de rango. Trate el anticongelante como dice la lectura y mida otra vez los mismos valores.',
    'follow-up-condition-failed':
      'El estado del anticongelante no pasó. Corríjalo y mida otra vez los mismos valores.',
    'follow-up-other-base': 'Se agregó anticongelante de otra base: lave el sistema.',
    'follow-up-other-technology': 'Se agregó anticongelante de otra tecnología: pruebe su estado.',
    'follow-up-vacuum-leak': 'La prueba de vacío no pasó. Encuentre y repare la fuga.',
    'release-warning':
      'Se liberó con {findings}. {todo, select, fill {No lo maneje} other {Deje el vehículo estacionado}} hasta que {until}.',
    'release-findings-open':
      'Se liberó con hallazgos de seguridad abiertos: {findings}. {todo, select, fill {No lo maneje} other {Deje el vehículo estacionado}} hasta que {until}.',
    'release-what-to-do':
      '{todo, select, fill {No lo maneje} other {Deje el vehículo estacionado}} hasta que {until}.',
    'basis-follow-up-limits': 'días y distancia de un seguimiento: práctica común',
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
    'projection-no-rate':
      'Sin distancia diaria: se necesitan dos lecturas creíbles del odómetro, con al menos 7 días entre ellas.',
    'projection-rate':
      '{perDay} al día, de {low} a {high}, según {days, plural, one {# día} other {# días}} con lectura.',
    'projection-no-interval': 'No se dio un intervalo de servicio, así que nada vence.',
    'projection-no-last-done': 'No se dijo cuándo se hizo por última vez, así que no hay desde dónde contar.',
    'projection-no-date': 'Ningún límite de este intervalo tiene fecha.',
    'projection-due':
      'Toca el {dueOn} por {trigger, select, distance {distancia} time {tiempo} other {horas de motor}}, entre el {earliestOn} y el {latestOn}. El {asOf} {state, select, late {está atrasado} due {ya toca} window {pronto toca} other {aún no toca}}.',
    'projection-needs-reading':
      'Un límite en distancia o en horas de motor no se pudo fechar: necesita lecturas y el contador en el último trabajo.',
    'projection-reading-left-out': 'Se dejó fuera la lectura {place, number}. {why}',
    'projection-stale': 'La última lectura tiene más de 60 días (práctica común): necesita una lectura.',
    'projection-reading-after':
      'Esta lectura es del {readOn}, después del {asOf}, el día por el que se pregunta.',
    'projection-last-done-after': 'El {on} es después del {asOf}, el día por el que se pregunta.',
    'projection-last-done-ahead':
      'Un odómetro de {shown} el {on} va adelante de los {last} leídos después.{kilometres, select, yes { ¿Eran {typed, number} km?} other {}}',
    'basis-projection-dates': 'fechas en {timeZone}',
    'basis-daily-rate':
      'uso diario: {method, select, quarter {pendiente de Theil–Sen (Sen 1968) sobre el último valor de cada día en los 90 días hasta la última lectura} year {pendiente de Theil–Sen (Sen 1968) sobre el último valor de cada día en los 365 días hasta la última lectura} weeks {promedios desde cada semana en que pudo cambiar el uso del vehículo, ponderados por su probabilidad} mean {promedio entre la primera y la última lectura} other {el uso diario que se espera}}; {band, select, share {÷ y × 1.5 (práctica común)} other {límites de 90 % por la dispersión del uso diario}}',
    'basis-counted-from':
      'contado desde el {on} ({from, select, job {última vez que se hizo} other {puesta en servicio}}), el límite que llegue primero',
    'basis-interval-changed': 'el intervalo cambió el {on}: se conserva la parte usada (práctica común)',
    'basis-postponed': 'pospuesto por un encargado',
    'basis-before-season':
      'toca {days, plural, one {# día} other {# días}} antes de la temporada (práctica común)',
    'basis-rate-method':
      '{counter, select, distance {distancia diaria} other {horas de motor diarias}}: {method}',
    'basis-default-margin':
      '{margin, select, window {ventana de servicio} other {plazo de gracia}} {limits}: valor usual, práctica común',
    'margin-distance': '{km, number} km',
    'margin-days': '{days, plural, one {# día} other {# días}}',
    'margin-hours': '{hours, number} h',
    'interval-without-limit':
      'No tiene límite. Dé al menos uno de everyDistance, everyMonths, everyEngineHours o beforeSeason.',
    'interval-limit-not-positive':
      '{value} no es un límite: debe ser mayor que 0. Quítelo si no hay tal límite.',
    'interval-months-not-whole': '{value} no es un número entero. Los meses son los del calendario.',
    // usage
    // loss
    // reliability
    // visits
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
