"""Paper and pictures: SVG drawings, the cut sheet, exports."""
