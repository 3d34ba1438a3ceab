// Draws all pages of a PDF file with pdf.js, annotations included, in the
// file's default configuration of optional content for viewing, as page-1.png
// and so on.
import * as fs from "node:fs"
import * as path from "node:path"
import * as pdfjs from "pdfjs-dist/legacy/build/pdf.mjs"

const assets = path.resolve("node_modules/pdfjs-dist")

async function draw(file, folder, dpi) {
  const loading = pdfjs.getDocument({
    data: new Uint8Array(fs.readFileSync(file)),
    cMapUrl: path.join(assets, "cmaps/"),
    standardFontDataUrl: path.join(assets, "standard_fonts/"),
    wasmUrl: path.join(assets, "wasm/"),
    iccUrl: path.join(assets, "iccs/"),
    verbosity: pdfjs.VerbosityLevel.ERRORS,
  })
  try {
    const document = await loading.promise
    for (let n = 1; n <= document.numPages; n++) {
      const page = await document.getPage(n)
      const viewport = page.getViewport({ scale: dpi / 72 })
      const { canvas } = document.canvasFactory.create(Math.ceil(viewport.width), Math.ceil(viewport.height))
      const annotationMode = pdfjs.AnnotationMode.ENABLE
      await page.render({ canvas, viewport, intent: "display", annotationMode }).promise
      fs.writeFileSync(path.join(folder, `page-${n}.png`), canvas.toBuffer("image/png"))
    }
  } finally {
    await loading.destroy()
  }
}
