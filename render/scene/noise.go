package scene

import (
	"github.com/go-gl/gl/v4.1-core/gl"

	"lapwing/dynamics/kernel"
)

const noiseSide = 256 // px

var noiseStream = kernel.NewStream("scene noise")

// noiseTexture makes a picture of specks that repeats without a seam: even
// random numbers on coarser and coarser grids, added up.
func noiseTexture() (texture uint32) {
	pixels := make([]uint8, 4*noiseSide*noiseSide) // four parts each: drivers read these fastest
	for y := range noiseSide {
		for x := range noiseSide {
			pixels[4*(y*noiseSide+x)] = share(speck(x, y))
		}
	}
	gl.GenTextures(1, &texture)
	gl.BindTexture(gl.TEXTURE_2D, texture)
	gl.PixelStorei(gl.UNPACK_ALIGNMENT, 1)
	gl.TexImage2D(gl.TEXTURE_2D, 0, gl.RGBA8, noiseSide, noiseSide, 0, gl.RGBA, gl.UNSIGNED_BYTE, gl.Ptr(pixels))
	gl.GenerateMipmap(gl.TEXTURE_2D)
	gl.TexParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, gl.LINEAR_MIPMAP_NEAREST)
	gl.TexParameteri(gl.TEXTURE_2D, gl.TEXTURE_MAG_FILTER, gl.LINEAR)
	return texture
}

func speck(x, y int) float64 {
	sum, weight := 0.0, 0.0
	for _, o := range [...]struct {
		cell   int
		weight float64
	}{{1, 0.9}, {2, 0.8}, {4, 0.6}, {16, 0.7}, {64, 0.5}} {
		sum += o.weight * smooth(x, y, o.cell)
		weight += o.weight
	}
	return 0.5 + 1.6*(sum/weight-0.5)
}

// smooth is a random number for each corner of a grid, evened out between.
func smooth(x, y, cell int) float64 {
	n := noiseSide / cell
	corner := func(i, j int) float64 {
		return kernel.Uniform(uint64(cell), noiseStream, 0, uint64((j%n)*n+i%n))
	}
	i, j := x/cell, y/cell
	u, v := float64(x%cell)/float64(cell), float64(y%cell)/float64(cell)
	low := corner(i, j) + u*(corner(i+1, j)-corner(i, j))
	high := corner(i, j+1) + u*(corner(i+1, j+1)-corner(i, j+1))
	return low + v*(high-low)
}
