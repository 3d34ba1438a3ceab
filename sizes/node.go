package sizes

import (
	"strings"

	"github.com/goccy/go-yaml/ast"
	yamltoken "github.com/goccy/go-yaml/token"
)

// scalar returns a scalar as it is written; nothing and null are none.
func scalar(n ast.Node) (string, bool) {
	switch n := n.(type) {
	case *ast.StringNode:
		return n.Value, true
	case *ast.LiteralNode:
		return strings.TrimRight(n.Value.Value, "\n"), true
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode, *ast.MergeKeyNode:
		return n.GetToken().Value, true
	}
	return "", false
}

// whatStands says what a node is, for messages.
func whatStands(n ast.Node) string {
	switch n.(type) {
	case *ast.SequenceNode:
		return "here stands a list"
	case ast.MapNode:
		return "here stand words with values"
	case *ast.NullNode, nil:
		return "nothing stands here"
	}
	return "here stands a single value"
}

// lastKey is the key at the end of a path.
func lastKey(path string) string {
	path = path[strings.LastIndexByte(path, '.')+1:]
	if strings.HasSuffix(path, "]") {
		return "an entry of " + path[:strings.IndexByte(path, '[')]
	}
	return path
}

// nodePosition returns where a node begins. The token of a block mapping is
// its first colon, so the key before it counts.
func nodePosition(n ast.Node) position {
	switch n := n.(type) {
	case nil:
		return position{1, 1}
	case *ast.MappingNode:
		if len(n.Values) > 0 && n.GetToken().Type == yamltoken.MappingValueType {
			return nodePosition(n.Values[0].Key)
		}
	case *ast.MappingValueNode:
		return nodePosition(n.Key)
	}
	return positionOf(n.GetToken())
}
