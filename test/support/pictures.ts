import sharp from 'sharp';

/** A location that must not leave the phone, as cameras write it. */
export const PLACE = {
  GPSLatitudeRef: 'N',
  GPSLatitude: '39/1 44/1 2100/100',
  GPSLongitudeRef: 'W',
  GPSLongitude: '104/1 59/1 300/100',
};
/** The content of every text field of the pictures below. */
export const SECRET = 'Workshop behind the ridge';

const XMP = `<?xpacket begin="" id="W5M0MpCehiHzreSzNTczkc9d"?><x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description xmlns:exif="http://ns.adobe.com/exif/1.0/" exif:GPSLatitude="39,44.35N" exif:UserComment="${SECRET}"/></rdf:RDF></x:xmpmeta><?xpacket end="w"?>`;

/**
 * Creates a picture of noise, which does not compress, with a location, texts, a colour profile and
 * an orientation.
 */
export function picture(
  format: 'jpeg' | 'png' | 'webp',
  { width = 120, height = 80, orientation = 6 } = {},
): Promise<Buffer> {
  return sharp({
    create: {
      width,
      height,
      channels: 3,
      background: '#888',
      noise: { type: 'gaussian', mean: 128, sigma: 60 },
    },
  })
    .withMetadata({ orientation })
    .withIccProfile('p3')
    .withExif({ IFD0: { ImageDescription: SECRET, Make: SECRET }, IFD3: PLACE })
    .withXmp(XMP)
    .toFormat(format, format === 'jpeg' ? { quality: 95, progressive: true } : {})
    .toBuffer();
}

/** Returns the picture's pixels as they are displayed. */
export function drawn(image: Buffer): Promise<Buffer> {
  return sharp(image).raw().toBuffer();
}

/** Creates a document of a given size. */
export function paper(sizeBytes: number): Buffer {
  const text = `%PDF-1.4\n1 0 obj<</Type/Catalog>>endobj\ntrailer<</Root 1 0 R>>\n`;
  return Buffer.concat([Buffer.from(text), Buffer.alloc(sizeBytes - text.length, '% ')]);
}
