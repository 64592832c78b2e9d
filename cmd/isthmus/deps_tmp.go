package main

import (
	_ "github.com/alecthomas/kong"
	_ "github.com/alexedwards/argon2id"
	_ "github.com/alexedwards/scs/v2"
	_ "github.com/casbin/casbin/v2"
	_ "github.com/chromedp/chromedp"
	_ "github.com/danielgtaylor/huma/v2"
	_ "github.com/danielgtaylor/huma/v2/adapters/humagin"
	_ "github.com/gin-gonic/gin"
	_ "github.com/goccy/go-yaml"
	_ "github.com/google/go-cmp/cmp"
	_ "github.com/google/uuid"
	_ "github.com/libtnb/sqlite"
	_ "github.com/pressly/goose/v3"
	_ "github.com/pressly/goose/v3/lock"
	_ "golang.org/x/crypto/argon2"
	_ "gonum.org/v1/gonum/graph/path"
	_ "gonum.org/v1/gonum/graph/simple"
	_ "gonum.org/v1/gonum/stat/distuv"
	_ "gorm.io/driver/postgres"
	_ "gorm.io/gorm"
	_ "pgregory.net/rapid"
)


